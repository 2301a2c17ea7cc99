"""Run in a copy of the project to which one field was added: finds it on screen, in the store and on paper.

Usage: python tests/architecture/add_one_field.py FOLDER. Prints what it found; the words typed are given on stdin.
"""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

from PySide6.QtWidgets import QApplication

from demo_db.build import PASSPHRASE, chart_all, new_store
from demo_db.ticking import ZONE
from desktop.controls.typed import Typed
from desktop.open_chart import OpenChart
from desktop.sheets.laid import lay
from desktop.sheets.moments import sections
from desktop.theme.apply import apply_look
from desktop.theme.look import Look
from desktop.theme.tokens import DAY
from desktop.work import StoreLane
from forms.ask import Paper
from forms.plan import Plan
from storage.vault import unlock
from sync.handoff.leave import draw_paper

FIELD = "quiet_corner"


def main(folder: Path, words: str) -> None:
    app = QApplication([])
    apply_look(app, Look(DAY))
    store, clock, ids = new_store(folder / "store")
    charted = chart_all(store, clock, ids)
    lane = StoreLane(store)
    chart = store.chart(charted.bram.family, charted.bram_visit)
    home = OpenChart(lane, chart, author=charted.author, clock=clock, ids=ids, zone=ZONE)
    for section in sections("plan", home, charted.bram.bram):
        page = lay(section, home, charted.bram.bram)
        question = page.question(Plan.name, FIELD)
        if question is not None:
            break
    else:
        raise SystemExit("the field stands on no page")
    control = question.findChild(Typed)
    assert control is not None
    print("on screen:", control.box.accessibleName())
    control.type(words)
    control.commit()
    home.save()
    while home.unsaved_since is not None:
        app.processEvents()
    lane.close()
    again = unlock(folder / "store", PASSPHRASE)
    read = again.chart(charted.bram.family, charted.bram_visit)
    print("in the store:", getattr(read.one(Plan), FIELD))
    paper = folder / "plan.pdf"
    paper.write_bytes(draw_paper(read, Paper.FAMILY_PLAN, author=charted.author, now=clock()))
    text = subprocess.run(["pdftotext", "-layout", paper, "-"], capture_output=True, text=True, check=True).stdout
    print("on paper:", " ".join(text.split()))
    again.close()


if __name__ == "__main__":
    main(Path(sys.argv[1]), sys.stdin.read())
