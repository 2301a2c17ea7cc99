"""Rules about published scores and what was watched at a feed: a score alone sends nobody on, and names no condition.

A score counts only when each of its parts stands. Where two values stand for a part, the lowest total they allow is
looked at.
"""

from __future__ import annotations

from forms.answers import Side, every
from forms.clinical.evidence import AGE, LOSS, Baby, Feeder, picks
from forms.clinical.prompts_infant import AGAIN, SOON
from forms.clinical.rule import Level, Rule
from forms.clinical.scores import BTAT_BORDERLINE_FROM, LATCH_LOOK_FURTHER_BELOW
from forms.feed import SORE, FeedObservation, trouble_seen
from forms.scores import ITEMS, Score

__all__ = ["BABY_RULES", "PARENT_RULES"]

DAY = 24  # hours
LOSS_ABOVE = 7  # percent, with a low score or no swallow: common practice, no source for the pair (M)

LATCH = ("score.tool", *(f"score.{name}" for name in ITEMS["latch"]))
TONGUE = ("score.tool", "score.tabby_total", *(f"score.{name}" for name in ITEMS["btat"]))
TROUBLE = (
    "feed.used", "feed.change_tried", "feed.pain_after_change", "feed.swallows_after_change", "feed.pain_after_30s",
    "feed.pain_middle", "feed.pain_at_end", "feed.latch_concerns", "feed.nipple_after", "feed.swallows",
)  # fmt: skip


def _lowest(score: Score, names: tuple[str, ...]) -> int | None:
    """The lowest total that the parts allow; None while one of them is missing."""
    parts = [every(getattr(score, name)) for name in names]
    return sum(min(values) for values in parts) if all(parts) else None


def _totals(baby: Baby, tool: str, names: tuple[str, ...]) -> tuple[int, ...]:
    found = (_lowest(score, names) for score in baby.scores if tool in every(score.tool))
    return tuple(total for total in found if total is not None)


def _lost_above_7(baby: Baby) -> str | None:
    return baby.loss.text if baby.loss is not None and baby.loss.lost_more_than(LOSS_ABOVE) else None


def _latch_low(baby: Baby) -> str | None:
    low = [total for total in _totals(baby, "latch", ITEMS["latch"]) if total < LATCH_LOOK_FURTHER_BELOW]
    lost = _lost_above_7(baby)
    return f"LATCH total {min(low)} of 10, at {lost} from birth" if low and lost else None


def _none_swallowed(feed: FeedObservation) -> bool:
    """Whether on every side that was answered no swallow may have been heard or seen."""
    sides = [picks(feed.swallows.on(side)) for side in Side if every(feed.swallows.on(side))]
    return bool(sides) and all("none" in side for side in sides)


def _no_swallow(baby: Baby) -> str | None:
    """No swallow at a feed of a baby of 24 hours or more: as watched, or as the LATCH part about swallows says."""
    silent = any(_none_swallowed(feed) for feed in baby.feeds)
    scored = any("latch" in every(score.tool) and 0 in every(score.latch_a) for score in baby.scores)
    lost = _lost_above_7(baby)
    return f"No swallow at a feed, at {lost} from birth" if (silent or scored) and lost and baby.from_(DAY) else None


def _trouble_after_support(feed: FeedObservation, side: Side) -> bool:
    """Whether trouble stands on a side on which a change was tried; what was told after the change comes first."""
    if True not in every(feed.change_tried.on(side)):
        return False
    pains, swallows = every(feed.pain_after_change.on(side)), picks(feed.swallows_after_change.on(side))
    if pains or swallows:
        return any(pain >= SORE for pain in pains) or "none" in swallows
    return trouble_seen(feed, side)


def _tongue(baby: Baby) -> tuple[int, ...]:
    """Totals, of 8, of the four-item tongue tool and of its picture version."""
    return _totals(baby, "btat", ITEMS["btat"]) + _totals(baby, "tabby", ("tabby_total",))


def _tongue_low(baby: Baby) -> str | None:
    low = [total for total in _tongue(baby) if total < BTAT_BORDERLINE_FROM]
    trouble = any(_trouble_after_support(feed, side) for feed in baby.feeds for side in Side)
    return (
        f"Tongue score total {min(low)} of 8, and feeding trouble after a change was tried" if low and trouble else None
    )


def _tongue_noted(baby: Baby) -> str | None:
    totals = _tongue(baby)
    return f"Tongue score total {min(totals)} of 8" if totals else None


FINDINGS = "Findings for the provider's evaluation; raters of such tools often disagree."
WATCH_AGAIN = "Look at the whole feed; a score hides which part was low."

BABY_RULES: tuple[Rule[Baby], ...] = (
    Rule(
        "infant_tongue_5", Level.PROMPT, _tongue_low, FINDINGS, SOON,
        "Ingram, ADC Fetal Neonatal 2015; bands of Int Breastfeed J 2019;14:31", "S", over=("infant_tongue_noted",),
        fields=(*TONGUE, *TROUBLE),
    ),
    Rule(
        "infant_latch_low_loss", Level.FOLLOW_UP, _latch_low, WATCH_AGAIN, AGAIN, "Jensen, JOGNN 1994;23:27", "S",
        fields=(*LATCH, *LOSS),
    ),
    Rule(
        "infant_no_swallow_loss", Level.FOLLOW_UP, _no_swallow,
        "Watching tells little of how much is taken; a weight does.", AGAIN, "common practice, no source", "M",
        by_age=True,
        fields=("feed.swallows", "score.tool", "score.latch_a", *LOSS, *AGE),
    ),
    Rule(
        "infant_tongue_noted", Level.NOTE, _tongue_noted, FINDINGS, "Record it, and mention it in the routine report.",
        "Ingram, ADC Fetal Neonatal 2015; bands of Int Breastfeed J 2019;14:31", "S", fields=TONGUE,
    ),
)  # fmt: skip


def _two_items(parent: Feeder) -> str | None:
    lowest = parent.limits.at("mood_two_prompt")
    high = any(total >= lowest for total in every(parent.told.screen_total))
    return f"Two-item mood total of {lowest} or more" if high and "phq_2" in picks(parent.told.screen_form) else None


PARENT_RULES: tuple[Rule[Feeder], ...] = (
    Rule(
        "parent_two_items", Level.PROMPT, _two_items,
        "Two items name no condition; they ask for a full screen and a talk.",
        "Ask the parent's own provider to see the parent within 24 to 48 hours.", "Kroenke 2003; Arroll 2010", "S",
        fields=("parent_history.screen_total", "parent_history.screen_form"), thresholds=("mood_two_prompt",),
        private=True,
    ),
)  # fmt: skip
