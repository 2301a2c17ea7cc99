"""Published scored tools about one baby (trade line C12): numbers, totals and types, and nothing of their wording.

Where a tool's items may be kept one by one, they stand under plain names with short anchors of our own; where its
wording or drawings belong to someone, only the total is typed, as added up on the tool's own sheet. Totals are worked
out in `forms.clinical.scores`, never here. The two mood screens stand with the parent's private history.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import Any, Final

from forms.answers import Given, Moment
from forms.ask import Need, NotCoded, When, choice, codes, count, line, moment, ref, scale, text
from forms.form import About, Form, declared
from forms.intents import TO_PROVIDERS

__all__ = ["ITEMS", "TOOLS", "TOTALS", "Score"]

TOOLS = codes(
    latch="LATCH, five parts",
    ibfat="IBFAT, four parts",
    mba="MBA, total only",
    pibbs="PIBBS, preterm baby, total only",
    bbat="Bristol BBAT, total only",
    btat="Bristol BTAT, four parts",
    tabby="TABBY, total only",
    atlff="ATLFF, two totals only",
    kotlow="Kotlow, free tongue in mm",
    coryllos="Coryllos, type",
    other="Another tool, total only",
)
CORYLLOS = codes(
    one="1, at the tip",
    two="2, two to four mm behind the tip",
    three="3, at mid-tongue",
    four="4, at the base, thick",
)

ITEMS: Final[Mapping[str, tuple[str, ...]]] = MappingProxyType({
    "latch": ("latch_l", "latch_a", "latch_t", "latch_c", "latch_h"),
    "ibfat": ("ibfat_ready", "ibfat_root", "ibfat_fix", "ibfat_suck"),
    "btat": ("btat_tip", "btat_gum", "btat_lift", "btat_reach"),
})  # fmt: skip
"""The items of each tool whose total is added up from them; a total stands only when every one of them does."""

TOTALS: Final[Mapping[str, tuple[str, ...]]] = MappingProxyType({
    "mba": ("mba_total",), "pibbs": ("pibbs_total",), "bbat": ("bbat_total",), "tabby": ("tabby_total",),
    "atlff": ("atlff_appearance", "atlff_function"), "other": ("other_total",),
})  # fmt: skip
"""The totals that are typed as they stand on the tool's own sheet."""

CODE = NotCoded("a number of a published tool whose wording and codes are its owner's")
SENT: Mapping[str, Any] = MappingProxyType({"paper": TO_PROVIDERS, "code": CODE})
DUE: Mapping[str, Any] = MappingProxyType({**SENT, "need": Need.WHEN_OPEN})


def _of(tool: str) -> Mapping[str, Any]:
    """A question opened by one tool."""
    return MappingProxyType({**DUE, "when": When("tool", one_of=(tool,))})


LATCH, IBFAT, BTAT, ATLFF = _of("latch"), _of("ibfat"), _of("btat"), _of("atlff")
JENSEN = "each part runs from 0 to 2 (Jensen, JOGNN 1994;23:27, S)"
MATTHEWS = "each part runs from 0 to 3 (Matthews, Midwifery 1988;4:154, S)"
INGRAM = "each part runs from 0 to 2 (Ingram, ADC Fetal Neonatal 2015;100:F344, S)"
HAZELBAKER = "ends as used in Pediatrics 2002;110:e63 (S)"


@declared("score", "Scored tool", About.PERSON_AT_VISIT, repeats=True)
@dataclass(frozen=True, slots=True, kw_only=True)
class Score(Form):
    """One use of one published tool for one baby at one visit."""

    tool: Given[str] = choice("Tool", TOOLS, need=Need.MUST, **SENT)
    tool_name: Given[str] = line("Name of the tool", **_of("other"))
    version: Given[str] = line("Version or form used", need=Need.MUST, help="Edition or year on its own sheet.", **SENT)
    scored_at: Given[Moment] = moment("Scored at", need=Need.MUST, **SENT)
    scored_by: Given[str] = line("Scored by", need=Need.MUST, **SENT)
    feeder: Given[str] = ref("While feeding from", ("parent",), help="For a tool that scores a feed.", **SENT)
    latch_l: Given[int] = scale(
        "L: latching on", high=2, ends=("not held", "taken and kept"), source=JENSEN, **LATCH
    )  # fmt: skip
    latch_a: Given[int] = scale(
        "A: swallows heard", high=2, ends=("none heard", "as often as the tool asks"), source=JENSEN,
        help="The tool scores this part differently under and over 24 hours of age.", **LATCH,
    )  # fmt: skip
    latch_t: Given[int] = scale("T: nipple", high=2, ends=("turned in", "turned out"), source=JENSEN, **LATCH)
    latch_c: Given[int] = scale("C: comfort", high=2, ends=("severe", "comfortable"), source=JENSEN, **LATCH)
    latch_h: Given[int] = scale("H: holding", high=2, ends=("held by staff", "no help"), source=JENSEN, **LATCH)
    ibfat_ready: Given[int] = scale("Readiness", high=3, ends=("lowest", "highest"), source=MATTHEWS, **IBFAT)
    ibfat_root: Given[int] = scale("Rooting", high=3, ends=("lowest", "highest"), source=MATTHEWS, **IBFAT)
    ibfat_fix: Given[int] = scale("Fixing", high=3, ends=("lowest", "highest"), source=MATTHEWS, **IBFAT)
    ibfat_suck: Given[int] = scale("Sucking", high=3, ends=("lowest", "highest"), source=MATTHEWS, **IBFAT)
    btat_tip: Given[int] = scale("Tip shape", high=2, ends=("lowest", "highest"), source=INGRAM, **BTAT)
    btat_gum: Given[int] = scale("Attachment to lower gum", high=2, ends=("lowest", "highest"), source=INGRAM, **BTAT)
    btat_lift: Given[int] = scale("Lift, mouth wide", high=2, ends=("lowest", "highest"), source=INGRAM, **BTAT)
    btat_reach: Given[int] = scale("Reaching out", high=2, ends=("lowest", "highest"), source=INGRAM, **BTAT)
    mba_total: Given[int] = count("MBA total", high=10, source="ten parts of 0 or 1 (Mulford 1992, M)", **_of("mba"))
    pibbs_total: Given[int] = count("PIBBS total", high=20, source="0 to 20 (Nyqvist 1996, S)", **_of("pibbs"))
    bbat_total: Given[int] = count("BBAT total", high=8, source="four parts of 0 to 2 (2014, S)", **_of("bbat"))
    tabby_total: Given[int] = count("TABBY total", high=8, source="IBJ 2019;14:31 (S)", **_of("tabby"))
    atlff_appearance: Given[int] = count("ATLFF appearance total", high=10, source=HAZELBAKER, **ATLFF)
    atlff_function: Given[int] = count(
        "ATLFF function total", high=14, source=HAZELBAKER, help="Raters disagree on four of its function items.",
        **ATLFF,
    )  # fmt: skip
    kotlow_mm: Given[int] = count(
        "Free tongue, whole mm", high=50, help="Whole millimetres: the published bands leave gaps between them.",
        source="house bound, no source", **_of("kotlow"),
    )  # fmt: skip
    coryllos_type: Given[str] = choice(
        "Coryllos type", CORYLLOS, help="Where it sits; a type is no measure of severity.",
        source="Coryllos types, generic description (S)", **_of("coryllos"),
    )  # fmt: skip
    other_total: Given[int] = count("Total of that tool", high=100, source="house bound, no source", **_of("other"))
    incomplete_why: Given[str] = text("Why a part could not be scored", **SENT)
