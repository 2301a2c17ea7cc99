"""What to say when the window cannot open on this machine. Imports nothing of the library that may be missing."""

from __future__ import annotations

import ctypes
import re
from collections.abc import Callable, Mapping
from types import MappingProxyType

from forms.trouble import Trouble

__all__ = ["NoScreen", "NoWindowLibrary", "must_have_screen", "sentence_for"]

# Debian names, each checked against the package lists of Debian 12.
_PACKAGES: Mapping[str, str] = MappingProxyType({
    "libEGL": "libegl1",
    "libGL": "libgl1",
    "libGLX": "libgl1",
    "libOpenGL": "libopengl0",
    "libxkbcommon": "libxkbcommon0",
    "libxkbcommon-x11": "libxkbcommon-x11-0",
    "libdbus-1": "libdbus-1-3",
    "libfontconfig": "libfontconfig1",
    "libfreetype": "libfreetype6",
    "libglib-2.0": "libglib2.0-0",
    "libgthread-2.0": "libglib2.0-0",
    "libX11": "libx11-6",
    "libX11-xcb": "libx11-xcb1",
    "libxcb": "libxcb1",
    "libxcb-cursor": "libxcb-cursor0",
    "libxcb-icccm": "libxcb-icccm4",
    "libxcb-image": "libxcb-image0",
    "libxcb-keysyms": "libxcb-keysyms1",
    "libxcb-randr": "libxcb-randr0",
    "libxcb-render-util": "libxcb-render-util0",
    "libxcb-shape": "libxcb-shape0",
    "libxcb-xinerama": "libxcb-xinerama0",
    "libxcb-xkb": "libxcb-xkb1",
    "libwayland-client": "libwayland-client0",
    "libwayland-cursor": "libwayland-cursor0",
    "libwayland-egl": "libwayland-egl1",
    "libcups": "libcups2",
    "libz": "zlib1g",
})  # fmt: skip
_FILE = re.compile(r"(lib[A-Za-z0-9_+.-]+?)\.so(?:\.\d+)*")

# What Qt's plugin for the X window system links to and would end the process without, instead of raising.
_X_WINDOW = ("libxcb-cursor.so.0", "libxcb-icccm.so.4", "libxcb-keysyms.so.1", "libxkbcommon-x11.so.0")


class NoWindowLibrary(Trouble):
    """A library that the window needs is not on this machine."""

    template = "The window needs the system library {file}. Install it with: sudo apt install {package}"


class NoScreen(Trouble):
    """There is no screen to open a window on."""

    template = (
        "No screen was found to open the window on. Start Hearthside from a desktop session, "
        "or use the commands that need no window (hearthside --help)."
    )


def sentence_for(failure: BaseException) -> str:
    """One sentence for an import of the window's library that failed: which package to install."""
    found = _FILE.search(str(failure))
    if found is None:
        name = getattr(failure, "name", None) or "PySide6"
        package = str(name).split(".")[0]
        return f"The window needs the Python package {package}. Set Hearthside up again as its README says."
    if (package := _PACKAGES.get(found[1], "")) == "":
        return f"The window needs the system library {found[0]}. Install the package of your system that holds it."
    return NoWindowLibrary(file=found[0], package=package).sentence


def must_have_screen(environ: Mapping[str, str], platform: str, load: Callable[[str], object] = ctypes.CDLL) -> None:
    """Raises NoScreen or NoWindowLibrary where Qt would end the process without a word that helps.

    `environ` and `platform` are those of this process (`os.environ`, `sys.platform`); `load` opens a library by name.
    """
    if platform != "linux" or environ.get("QT_QPA_PLATFORM"):
        return
    if environ.get("WAYLAND_DISPLAY"):
        return
    if not environ.get("DISPLAY"):
        raise NoScreen
    for file in _X_WINDOW:
        try:
            load(file)
        except OSError:
            name = _FILE.fullmatch(file)
            raise NoWindowLibrary(file=file, package=_PACKAGES[name[1]] if name else file) from None
