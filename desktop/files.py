"""Qt's own file dialogs, never the system's: they follow the theme, and nothing else learns which file was chosen."""

from __future__ import annotations

import os
from pathlib import Path

from PySide6.QtCore import QSettings, QUrl
from PySide6.QtWidgets import QFileDialog, QWidget

__all__ = ["pick_file", "pick_folder", "pick_picture", "pick_place"]


def _dialog(parent: QWidget, title: str, start: Path) -> QFileDialog:
    # The library's dialog writes the last folders into a settings file of its own when it goes; there it cannot.
    QSettings.setPath(QSettings.Format.NativeFormat, QSettings.Scope.UserScope, os.devnull)
    near = next((folder for folder in (start, *start.parents) if folder.is_dir()), Path.home())
    dialog = QFileDialog(parent, title, str(near))
    dialog.setOption(QFileDialog.Option.DontUseNativeDialog)
    dialog.setOption(QFileDialog.Option.DontUseCustomDirectoryIcons)
    dialog.setSidebarUrls([QUrl.fromLocalFile(str(Path.home())), QUrl.fromLocalFile(str(near))])
    return dialog


def _picked(dialog: QFileDialog) -> Path | None:
    taken = dialog.exec() == int(QFileDialog.DialogCode.Accepted)
    chosen = Path(dialog.selectedFiles()[0]) if taken and dialog.selectedFiles() else None
    dialog.deleteLater()
    return chosen


def pick_folder(parent: QWidget, title: str, start: Path) -> Path | None:
    """A folder she picked, or None."""
    dialog = _dialog(parent, title, start)
    dialog.setFileMode(QFileDialog.FileMode.Directory)
    dialog.setOption(QFileDialog.Option.ShowDirsOnly)
    return _picked(dialog)


def pick_file(parent: QWidget, title: str, start: Path, *, kinds: str) -> Path | None:
    """A file she picked, or None. Those of `kinds` ("Logs (*.csv)") come first; what it is, its bytes will say."""
    dialog = _dialog(parent, title, start)
    dialog.setFileMode(QFileDialog.FileMode.ExistingFile)
    dialog.setNameFilters([kinds, "Every file (*)"])
    return _picked(dialog)


def pick_picture(parent: QWidget, title: str, start: Path) -> Path | None:
    """A picture she picked, or None."""
    return pick_file(parent, title, start, kinds="Pictures (*.jpg *.jpeg *.png *.webp *.JPG *.JPEG *.PNG)")


def pick_place(parent: QWidget, title: str, start: Path, name: str) -> Path | None:
    """A place and name for a new file, or None; a name without an ending gets that of `name`.

    A name that is taken is asked about here; whether the older file is replaced is the writer's to say.
    """
    dialog = _dialog(parent, title, start)
    dialog.setAcceptMode(QFileDialog.AcceptMode.AcceptSave)
    dialog.setFileMode(QFileDialog.FileMode.AnyFile)
    dialog.setDefaultSuffix(Path(name).suffix.removeprefix("."))
    dialog.selectFile(name)
    return _picked(dialog)
