"""Every paper is dated by the clock that was given, wherever a reader looks: the machine's clock says nothing."""

from __future__ import annotations

from datetime import timedelta, timezone
from pathlib import Path
from subprocess import run

import pytest

from forms.answers import Moment
from forms.papers.family_plan import family_plan
from sync.handoff.intake_sheet import write_intake
from sync.handoff.letter import write_letter
from sync.handoff.protected import locked
from sync.handoff.seals import Seal
from sync.handoff.sign import Record, sign_letter
from tests.helpers import thornbury as t
from tests.sync.test_intake_sheet import frame

PASSWORD = "maple-otter-nine-cedar-voice"


def told(data: bytes, folder: Path, password: str = "") -> dict[str, int]:
    """Each time that a program of others finds in a file's own notes and in its metadata, in seconds since 1970."""
    paper = folder / "paper.pdf"
    paper.write_bytes(data)
    command = ["exiftool", "-password", password, "-a", "-G", "-S", "-d", "%s", "-time:all", str(paper)]
    said = run(command, capture_output=True, text=True, check=True).stdout
    rows = (line.partition(": ") for line in said.splitlines())
    return {where: int(when) for where, _, when in rows if where.startswith(("[PDF]", "[XMP]"))}


@pytest.fixture(scope="module")
def drawn() -> bytes:
    return write_letter(family_plan(t.whole(), writer=t.WRITER, now=t.NOW), made=t.NOW, sealed=True)


def expect(found: dict[str, int]) -> None:
    assert {"[PDF] CreateDate", "[PDF] ModifyDate", "[XMP] CreateDate", "[XMP] ModifyDate"} <= set(found), found
    assert set(found.values()) == {int(t.NOW.timestamp())}, found


def test_a_drawn_a_sealed_and_a_locked_paper_were_made_and_changed_when_the_given_clock_says(
    drawn: bytes, seal: Seal, record: Record, tmp_path: Path
) -> None:
    at = Moment(t.NOW, t.ZONE)
    expect(told(drawn, tmp_path))
    expect(told(sign_letter(drawn, seal, at=at, who="Rowan Vale, RN", record=record), tmp_path))
    expect(told(locked(drawn, PASSWORD, at=t.NOW), tmp_path, PASSWORD))
    both = sign_letter(drawn, seal, at=at, who="Rowan Vale, RN", record=record, password=PASSWORD)
    expect(told(both, tmp_path, PASSWORD))


def test_the_same_moment_told_in_another_zone_is_the_same_moment(tmp_path: Path) -> None:
    abroad = t.NOW.astimezone(timezone(timedelta(hours=9)))
    expect(told(write_letter(family_plan(t.whole(), writer=t.WRITER, now=abroad), made=abroad, sealed=False), tmp_path))


def test_the_sheet_for_before_the_visit_too(tmp_path: Path) -> None:
    expect(told(write_intake(frame(), at=t.NOW), tmp_path))
