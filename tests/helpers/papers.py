"""Signing, papers that leave as files, and what they say to their reader, as another program gets it out."""

from __future__ import annotations

import re
import subprocess
from pathlib import Path

from tests.helpers.charting import Charter

__all__ = ["paper_text", "save_paper", "sign"]


def paper_text(paper: Path) -> str:
    """The text of a PDF in reading order, with every run of white space as one space."""
    done = subprocess.run(["pdftotext", "-q", "-raw", str(paper), "-"], capture_output=True, check=True, text=True)
    return re.sub(r"\s+", " ", done.stdout).strip()


def save_paper(person: Charter, tab: str, place: Path) -> str:
    """Show a paper, say what it leaves for, save it open at a place, and read it as another program does."""
    person.section("leave.papers")
    person.press(tab)
    person.until_idle()
    person.until(person.buttons("Save as a file")[0].isEnabled, "the paper")
    person.press("Save as a file")
    person.until_sees("What leaves")
    person.press("Leave open")
    person.press("Care by whoever reads it")
    go = "Choose where, and save it"
    person.until(person.buttons(go)[0].isEnabled, "what would leave")
    person.pick_file(lambda: person.press(go), place)
    person.until_sees(f"Saved as {place}")
    return paper_text(place)


def sign(person: Charter) -> None:
    """Sign the visit, and answer that it is meant."""
    person.section("leave.sign")
    person.press("Sign this visit")
    person.decide("Sign")
    person.until_sees("What is frozen, each note with its fingerprint")
