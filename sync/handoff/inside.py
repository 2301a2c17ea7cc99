"""What a sealed paper carries inside, and what is laid beside it: for a provider, the open record with its signature.

A family's plan and the call-now page carry their words as plain text: the one is not for a program to read, and the
other leaves even while two answers stand.
"""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime
from pathlib import Path
from types import MappingProxyType
from typing import Final

from forms.ask import Paper
from forms.chart import Chart
from forms.papers.outline import Outline, words_of
from storage.taking import TakenFrom
from sync.handoff.detached import MEDIA_TYPE, sign_beside
from sync.handoff.document import record_bytes, visit_bundle
from sync.handoff.seals import Seal
from sync.handoff.sign import Record, taken_out

__all__ = ["RECORD", "SIGNATURE", "beside", "carried_by"]

RECORD: Final = "record.fhir.json"
SIGNATURE: Final = f"{RECORD}.p7s"
_FOR_PROVIDERS: Final = frozenset({Paper.REFERRAL, Paper.REPORT, Paper.SUMMARY})


def carried_by(
    chart: Chart, outline: Outline, seal: Seal, *, author: str, now: datetime, referral: str = "",
    picture: bool = False, sources: Mapping[tuple[str, str], TakenFrom] = MappingProxyType({}),
) -> tuple[Record, ...]:  # fmt: skip
    """The files that go into a paper before it is sealed: the open record and its signature, or the paper's words.

    `picture`: the paper is one picture for the record. `sources` are those of `visit_bundle`. Raises what that raises.
    """
    if outline.kind not in _FOR_PROVIDERS or picture:
        return (Record(f"{outline.kind}.txt", "text/plain", words_of(outline).encode()),)
    bundle = visit_bundle(
        chart, paper=outline.kind, writer=author, now=now, about=outline.about, referral=referral, sources=sources
    )
    data = record_bytes(bundle)
    return (
        Record(RECORD, "application/fhir+json", data, "What this paper tells, for a program to read"),
        Record(SIGNATURE, MEDIA_TYPE, sign_beside(data, seal), "The signature of the record"),
    )


def beside(path: Path, paper: bytes) -> dict[Path, bytes]:
    """The files to lay beside a paper: its record and the record's signature, under the paper's own name."""
    held = taken_out(paper)
    if RECORD not in held or SIGNATURE not in held:
        return {}
    return {
        path.with_name(f"{path.stem}.fhir.json"): held[RECORD],
        path.with_name(f"{path.stem}.fhir.json.p7s"): held[SIGNATURE],
    }
