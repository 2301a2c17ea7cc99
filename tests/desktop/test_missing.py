"""When the window cannot open, one sentence names the package."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest

from desktop.missing import NoScreen, NoWindowLibrary, must_have_screen, sentence_for

ROOT = Path(__file__).resolve().parents[2]


@pytest.mark.parametrize(
    ("failure", "package"),
    [
        ("libEGL.so.1: cannot open shared object file: No such file or directory", "libegl1"),
        ("libxkbcommon.so.0: cannot open shared object file: No such file or directory", "libxkbcommon0"),
        ("libGL.so.1: cannot open shared object file: No such file or directory", "libgl1"),
        ("libdbus-1.so.3: cannot open shared object file: No such file or directory", "libdbus-1-3"),
        ("libxcb-cursor.so.0: cannot open shared object file", "libxcb-cursor0"),
    ],
)
def test_a_missing_system_library_is_said_with_the_package_that_brings_it(failure: str, package: str) -> None:
    sentence = sentence_for(ImportError(failure))
    assert sentence.endswith(f"sudo apt install {package}")
    assert "\n" not in sentence


def test_a_library_nobody_listed_is_named_as_it_is() -> None:
    assert "libstrange.so.7" in sentence_for(ImportError("libstrange.so.7: cannot open shared object file"))


def test_a_missing_python_package_is_said_by_its_name() -> None:
    assert "package PySide6" in sentence_for(ModuleNotFoundError("No module named 'PySide6'", name="PySide6.QtCore"))


def test_a_machine_without_a_screen_is_told_before_the_window_library_would_end_the_program() -> None:
    with pytest.raises(NoScreen):
        must_have_screen({}, "linux")
    must_have_screen({"QT_QPA_PLATFORM": "offscreen"}, "linux")
    must_have_screen({}, "darwin")


def test_a_screen_without_a_library_of_its_plugin_is_told_with_the_package() -> None:
    def gone(name: str) -> object:
        if name == "libxcb-cursor.so.0":
            raise OSError(name)
        return object()

    with pytest.raises(NoWindowLibrary) as told:
        must_have_screen({"DISPLAY": ":0"}, "linux", gone)
    assert told.value.sentence.endswith("sudo apt install libxcb-cursor0")


def test_the_command_says_it_in_one_sentence_and_ends_with_2() -> None:
    code = (
        "import sys\n"
        "class Gone:\n"
        "    def find_spec(self, name, path=None, target=None):\n"
        "        if name.split('.')[0] == 'PySide6':\n"
        "            raise ImportError('libEGL.so.1: cannot open shared object file: No such file or directory')\n"
        "sys.meta_path.insert(0, Gone())\n"
        "from desktop.command import main\n"
        "main([])\n"
    )
    done = subprocess.run([sys.executable, "-c", code], cwd=ROOT, capture_output=True, text=True, check=False)
    assert (done.returncode, done.stdout) == (2, "")
    assert done.stderr == (
        "The window needs the system library libEGL.so.1. Install it with: sudo apt install libegl1\n"
    )
