"""What this device remembers of the window itself: theme, text size, minutes until it locks. Nothing of any record.

Kept beside the store, so that the locked window already has the right light and nothing is written elsewhere.
"""

from __future__ import annotations

from dataclasses import asdict, dataclass, replace
from pathlib import Path
from typing import Any

import orjson
from PySide6.QtCore import QObject, Signal

from desktop.theme.look import Look
from desktop.theme.tokens import THEMES, theme_named
from storage.folder import write_whole

__all__ = ["IDLE_MINUTES", "TEXT_SIZES", "DeviceSettings", "Settings"]

FILE = "window.json"
IDLE_MINUTES = range(1, 16)
TEXT_SIZES = (100, 125, 150, 175, 200)


@dataclass(frozen=True, slots=True)
class Settings:
    """`theme` is the name of one of THEMES, `text` a percentage of 100 to 200, `idle` minutes of 1 to 15."""

    theme: str = "Day"
    text: int = 100
    idle: int = 5

    @property
    def look(self) -> Look:
        """Theme and text size, to be put in force."""
        return Look(theme_named(self.theme), self.text)

    @classmethod
    def read(cls, folder: Path) -> Settings:
        """What stands in the store's folder; the first values for anything missing, damaged or out of bounds."""
        try:
            kept: Any = orjson.loads((folder / FILE).read_bytes())
        except (OSError, ValueError):
            return cls()
        kept = kept if isinstance(kept, dict) else {}
        made = cls()
        if kept.get("theme") in {theme.name for theme in THEMES}:
            made = replace(made, theme=kept["theme"])
        if kept.get("text") in TEXT_SIZES:
            made = replace(made, text=kept["text"])
        if kept.get("idle") in IDLE_MINUTES:
            made = replace(made, idle=kept["idle"])
        return made


class DeviceSettings(QObject):
    """The settings in force. Signal `changed()`: any of them is another than before."""

    changed = Signal()

    def __init__(self, folder: Path, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._folder = folder
        self.now = Settings.read(folder)

    def change(self, *, theme: str | None = None, text: int | None = None, idle: int | None = None) -> None:
        """Put other values in force and remember them; if the disk cannot be written they hold until the end."""
        wanted = Settings(
            self.now.theme if theme is None else theme,
            self.now.text if text is None else text,
            self.now.idle if idle is None else idle,
        )
        if wanted == self.now:
            return
        self.now = wanted
        self.keep()
        self.changed.emit()

    def move(self, folder: Path) -> None:
        """Go over to another store's folder and what is remembered there."""
        self._folder, self.now = folder, Settings.read(folder)
        self.changed.emit()

    def keep(self) -> None:
        """Write them beside the store, if there is one to write beside."""
        if not (self._folder / "keys").is_dir():
            return
        try:
            write_whole(self._folder / FILE, orjson.dumps(asdict(self.now)))
        except OSError:
            return  # how the window looks is not worth a sentence; it holds until the window is closed

    def next_theme(self) -> None:
        """Day, Lamp, Night, and again."""
        names = [theme.name for theme in THEMES]
        self.change(theme=names[(names.index(self.now.theme) + 1) % len(names)])

    def bigger(self) -> None:
        """The next larger text, up to the largest."""
        self.change(text=min((size for size in TEXT_SIZES if size > self.now.text), default=TEXT_SIZES[-1]))

    def smaller(self) -> None:
        """The next smaller text, down to the smallest."""
        self.change(text=max((size for size in TEXT_SIZES if size < self.now.text), default=TEXT_SIZES[0]))
