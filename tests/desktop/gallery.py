"""Keeps pictures of the kit and of every screen: `python -m tests.desktop.gallery OUT`.

To have a screen drawn, add (name, function that builds its widget) to `SCREENS`. Each is kept in the three themes at
100 % and in Day at 200 %, 1280 by 800.
"""

from __future__ import annotations

import os
import sys
from collections.abc import Callable
from pathlib import Path

from PySide6.QtCore import QCoreApplication, QEvent
from PySide6.QtWidgets import QApplication, QWidget

from desktop.theme.apply import apply_look
from desktop.theme.look import Look
from desktop.theme.tokens import DAY, LAMP, NIGHT
from tests.desktop import (
    gallery_breast,
    gallery_checking,
    gallery_closing,
    gallery_events,
    gallery_feed,
    gallery_figures,
    gallery_figures_of_practice,
    gallery_giving_out,
    gallery_growth,
    gallery_joining,
    gallery_kit,
    gallery_leaves,
    gallery_leaving,
    gallery_letters,
    gallery_live,
    gallery_log_in,
    gallery_milk,
    gallery_outlines,
    gallery_photos,
    gallery_pictures,
    gallery_pictures_lines,
    gallery_receipt,
    gallery_received,
    gallery_seals,
    gallery_shell,
    gallery_stamps,
    gallery_sync,
    gallery_visit,
    gallery_words,
)

SCREENS: list[tuple[str, Callable[[], QWidget]]] = [
    ("kit-choices", gallery_kit.choices),
    ("kit-figures", gallery_kit.figures),
    ("kit-words", gallery_kit.words),
    ("kit-states", gallery_kit.states),
    ("kit-urgent", gallery_kit.urgent),
    ("kit-shapes", gallery_kit.shapes),
    *gallery_visit.SCREENS,
    *gallery_breast.SCREENS,
    *gallery_events.SCREENS,
    *gallery_feed.SCREENS,
    *gallery_figures.SCREENS,
    *gallery_growth.SCREENS,
    *gallery_leaving.SCREENS,
    *gallery_leaves.SCREENS,
    *gallery_stamps.SCREENS,
    *gallery_live.SCREENS,
    *gallery_log_in.SCREENS,
    *gallery_milk.SCREENS,
    *gallery_outlines.SCREENS,
    *gallery_photos.SCREENS,
    *gallery_pictures.SCREENS,
    *gallery_pictures_lines.SCREENS,
    *gallery_receipt.SCREENS,
    *gallery_closing.SCREENS,
    *gallery_words.SCREENS,
]
PAGES = [
    *gallery_shell.SCREENS,
    *gallery_sync.SCREENS,
    *gallery_joining.SCREENS,
    *gallery_closing.PAGES,
    *gallery_giving_out.PAGES,
    *gallery_figures_of_practice.PAGES,
    *gallery_received.PAGES,
    *gallery_letters.PAGES,
    *gallery_checking.SCREENS,
    *gallery_stamps.PAGES,
    *gallery_seals.SCREENS,
    *gallery_words.PAGES,
]
"""Whole windows over a store: drawn like the others, measured by a test of their own, once each."""
LOOKS = (Look(DAY), Look(LAMP), Look(NIGHT), Look(DAY, 200))
SIZE = (1280, 800)


def settle() -> None:
    """Let layouts and deferred work come to rest."""
    for _ in range(4):
        QCoreApplication.processEvents()
        QCoreApplication.sendPostedEvents(None, QEvent.Type.DeferredDelete)


def draw(out: Path) -> list[Path]:
    """Draws every screen in every look into `out`; the files written."""
    out.mkdir(parents=True, exist_ok=True)
    app = QApplication.instance() or QApplication([])
    if not isinstance(app, QApplication):
        raise SystemExit("the gallery needs a window system, or QT_QPA_PLATFORM=offscreen")
    written = []
    for look in LOOKS:
        apply_look(app, look)
        for name, build in (*SCREENS, *PAGES):
            widget = build()
            widget.resize(*SIZE)
            widget.show()
            settle()
            file = out / f"{name}-{look.theme.name.lower()}-{look.text}.png"
            if not widget.grab().save(str(file)):
                raise SystemExit(f"{file} could not be written")
            written.append(file)
            widget.close()
            widget.deleteLater()
            settle()
    return written


if __name__ == "__main__":
    if len(sys.argv) != 2:
        raise SystemExit("python -m tests.desktop.gallery OUT")
    os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")
    for written in draw(Path(sys.argv[1])):
        print(written)
