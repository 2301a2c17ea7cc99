"""A visit in a process of its own, into which marked words are typed everywhere: `python -m tests.helpers.marked_visit`.

Arguments: the store's folder, a place for the saved paper, a file for every log record at every level.
"""

from __future__ import annotations

import logging
import sys
from pathlib import Path

from PySide6.QtWidgets import QApplication

from demo_db.build import PASSPHRASE
from demo_db.ticking import at
from tests.helpers.charting import Charter
from tests.helpers.papers import save_paper
from tests.helpers.person import K, Machine

__all__ = ["MARKS"]

MARKS = {
    "note": "quillwort seventy-seven",
    "jot": "hazelbark in the drawer",
    "refused": "mistlethrush six",
    "goal": "thistledown by the stove",
    "name": "Wickenshaw-Tamarisk",
    "weight": "4,973 g",
    "pasted": "bramblefinch over the sill",
    "passphrase": "not the right words at all",
    "bug": "larkspur in a traceback",
}
"""Words that stand nowhere else. Each is typed somewhere; none may be found in a file but the paper she saved."""


def _fail() -> None:
    raise RuntimeError(MARKS["bug"])


def _visit(person: Charter, paper: Path) -> None:
    person.write("Passphrase", MARKS["passphrase"])
    person.key(K.Key_Return)
    person.until_sees("That passphrase does not open this store.")
    person.unlock(PASSPHRASE)
    person.press_beside("Go on", "Lindqvist-Osei, Bram")
    person.until_page("visit")
    person.until_idle()
    person.answer("infant_history.more", MARKS["note"], "Bram")
    person.answer("infant.earlier_names", MARKS["name"])
    person.answer("infant_history.wets_24h", MARKS["refused"])
    person.answer("plan.goal", MARKS["goal"])
    person.answer("plan.went_well", MARKS["pasted"], pasted=True)
    person.section("weigh.scale")
    person.press("On the scale now")
    person.answer("weight.weight", MARKS["weight"])
    person.key(K.Key_F3)
    person.keys(MARKS["jot"])
    person.key(K.Key_Return)
    person.saved()
    save_paper(person, "Family’s plan", paper)
    person.meets_a_bug(lambda: person.program.errands.run(_fail))
    person.lock()
    person.unlock(PASSPHRASE)
    person.until_page("visit")


def main(store: str, paper: str, log: str) -> None:
    """Do the visit; whatever goes wrong ends the process with its trace."""
    logging.basicConfig(filename=log, level=logging.DEBUG)
    QApplication(sys.argv[:1])
    person = Charter(Path(store), Machine(at("2026-03-02 16:30"))).come()
    try:
        _visit(person, Path(paper))
    finally:
        person.go_home()


if __name__ == "__main__":
    main(*sys.argv[1:])
