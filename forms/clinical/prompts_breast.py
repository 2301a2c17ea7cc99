"""Rules about a parent's breasts or chest, nipples and pain: seen, told, felt at a feed. Sides are the parent's own.

What is seen is described and named as a sign; what it is, a provider says.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from types import MappingProxyType

from forms.answers import Given, Side, Sided, every
from forms.clinical.evidence import FEVER, Feeder, picks
from forms.clinical.rule import Level, Rule
from forms.feed import FeedObservation

__all__ = ["RULES"]

PROVIDER = "Speak to the parent's own provider before leaving or the same day, and send the written report."
SOON = "Ask the parent's own provider to see the parent within 24 to 48 hours."
AGAIN = "See the parent again within 24 to 72 hours."
ROUTINE = "Record it, and mention it in the routine report."

WIDE_GAP = 38  # mm: 3.8 cm, 1.5 in (Huggins 2000, as quoted, S2); more than that counts
WEEK_1 = 7 * 24  # hours (C)

SIDES: Mapping[Side, str] = MappingProxyType({Side.LEFT: "left", Side.RIGHT: "right"})
MOMENTS = ("pain_at_latch", "pain_after_30s", "pain_middle", "pain_at_end")
AFTER_LATCH = MOMENTS[1:]
CHANGED_COLOUR = frozenset({"red", "pink", "purple", "brown", "darker"})
LONGER_THAN_A_DAY = frozenset({"to_48_h", "to_72_h", "over_72_h"})
LACKING: Mapping[str, str] = MappingProxyType({
    "inner_lacking": "less full below toward the middle",
    "lower_lacking": "less full below on both sides",
    "tube": "narrow like a tube",
})  # fmt: skip


def _on_a_side(seen: Callable[[Feeder, Side], str | None]) -> Callable[[Feeder], str | None]:
    """A sign looked at on each side, said with the sides that have it."""

    def both(parent: Feeder) -> str | None:
        found = [f"{SIDES[side]}: {words}" for side in Side if (words := seen(parent, side))]
        return "; ".join(found).capitalize() or None

    return both


def _pains(feed: FeedObservation, side: Side) -> tuple[tuple[int, ...], ...]:
    """The pains that stand for each moment of a feed, in order; a moment without an answer is left out."""
    given: tuple[Sided[Given[int]], ...] = tuple(getattr(feed, name) for name in MOMENTS)
    return tuple(values for one in given if (values := every(one.on(side))))


def _all_through(parent: Feeder, side: Side) -> bool:
    """Pain at or above the limit at every moment told of a feed, one of them after the latch; or told to be so."""
    limit = parent.limits.at("pain_follow_up")
    for feed in parent.feeds:
        later = any(every(getattr(feed, name).on(side)) for name in AFTER_LATCH)
        if later and all(max(values) >= limit for values in _pains(feed, side)):
            return True
    told = (*every(parent.told.pain_now.on(side)), *every(parent.told.pain_worst.on(side)))
    return "through" in picks(parent.told.pain_when.on(side)) and any(pain >= limit for pain in told)


def _rising(parent: Feeder, side: Side) -> bool:
    """Pain higher at the last moment told of a feed than at the first."""
    each = [moments for feed in parent.feeds if len(moments := _pains(feed, side)) > 1]
    return any(max(moments[-1]) > min(moments[0]) for moments in each)


def _sore(parent: Feeder, side: Side) -> str | None:
    if _all_through(parent, side):
        return f"pain of {parent.limits.at('pain_follow_up')} of 10 or more all through the feed"
    return "pain that rises during the feed" if _rising(parent, side) else None


def _every_pain(parent: Feeder, side: Side) -> Iterator[int]:
    for feed in parent.feeds:
        for values in _pains(feed, side):
            yield from values
    for given in (parent.told.pain_now, parent.told.pain_worst, parent.breast.pain_rest, parent.breast.pain_touch):
        yield from every(given.on(side))


def _very_sore(parent: Feeder, side: Side) -> str | None:
    worst = max(_every_pain(parent, side), default=0)
    return f"pain of {worst} of 10" if worst >= parent.limits.at("pain_prompt") else None


def _trauma(parent: Feeder, side: Side) -> str | None:
    marks = picks(parent.breast.trauma_score.on(side)) & {"mark_4", "mark_5"}
    if marks:
        return f"nipple trauma score {max(marks).removeprefix('mark_')} of 5"
    words = {"pus": "pus on it", "yellow": "yellow crust", "spreading": "spreads onto the areola"}
    found = picks(parent.breast.damage.on(side))
    seen = [said for code, said in words.items() if code in found]
    return f"nipple: {', '.join(seen)}" if seen else None


def _stage(parent: Feeder, side: Side) -> str | None:
    stages = picks(parent.breast.trauma_stage.on(side)) & {"stage_3", "stage_4"}
    if stages:
        return f"damage of stage {max(stages).removeprefix('stage_')} of 4"
    here = [place for place in parent.places if SIDES[side] in every(place.side)]
    on_nipple = [place for place in here if picks(place.where) & {"nipple", "base"}]
    return "damage into the skin" if any(picks(place.depth) & {"deep", "through"} for place in on_nipple) else None


def _damage(parent: Feeder, side: Side) -> str | None:
    words = {
        "red": "red or darker", "swollen": "swollen", "blister": "blister", "crack": "crack", "graze": "graze",
        "open": "open", "scab": "scab", "yellow": "yellow crust", "bleeding": "bleeding",
        "spreading": "spreads onto the areola",
    }  # fmt: skip
    found = picks(parent.breast.damage.on(side))
    seen = [said for code, said in words.items() if code in found]
    return f"nipple {', '.join(seen)}" if seen else None


def _shape(parent: Feeder, side: Side) -> str | None:
    """A nipple flat, turned in or dimpled, or pinched out of shape after a feed."""
    words = {"flat": "flat", "inverted": "turned in", "dimpled": "dimpled"}
    after = {
        "slanted": "slanted", "ridged": "ridged", "flat": "flattened", "white": "white", "creased": "creased",
        "wedged": "wedged", "blanched": "blanched", "flattened": "flattened",
    }  # fmt: skip
    rest = picks(parent.breast.nipple.on(side))
    fed = picks(parent.breast.shape_after.on(side), *(feed.nipple_after.on(side) for feed in parent.feeds))
    seen = [said for code, said in words.items() if code in rest]
    pinched = list(dict.fromkeys(said for code, said in after.items() if code in fed))
    said = [f"nipple {', '.join(seen)}"] if seen else []
    return ", ".join([*said, *([f"{', '.join(pinched)} after the feed"] if pinched else [])]) or None


def _engorged(parent: Feeder, side: Side) -> str | None:
    marks = picks(parent.breast.engorgement.on(side)) & {"mark_5", "mark_6"}
    return f"fullness rated {max(marks).removeprefix('mark_')} of 6" if marks else None


def _engorged_and_fever(parent: Feeder) -> str | None:
    words = _on_a_side(_engorged)(parent)
    return f"{words}, with fever" if words and parent.fever else None


def _unwell(parent: Feeder) -> bool:
    return parent.fever or bool(picks(parent.told.unwell) & {"chills", "flu_feeling"})


def _inflamed(parent: Feeder, side: Side) -> str | None:
    """Warm skin of another colour: with fever or feeling ill, or there for a day and not fading."""
    skin = picks(parent.breast.skin.on(side))
    if "warm" not in skin or not skin & CHANGED_COLOUR:
        return None
    if _unwell(parent):
        return "skin warm and of another colour, with fever or feeling ill"
    lasting = picks(parent.breast.skin_since.on(side)) & LONGER_THAN_A_DAY
    fading = picks(parent.breast.skin_course.on(side)) == {"fading"}
    return "skin warm and of another colour, no better in 24 hours" if lasting and not fading else None


def _seen_now(parent: Feeder, side: Side) -> str | None:
    lumps = [
        place
        for place in parent.places
        if SIDES[side] in every(place.side) and picks(place.kind) & {"lump", "swelling"}
    ]
    found = (
        _inflamed(parent, side),
        "pus comes out" if "pus" in picks(parent.breast.discharge.on(side)) else None,
        "a lump longer than 72 hours" if any("over_72_h" in picks(lump.since) for lump in lumps) else None,
        "a lump that gives like a bag of water" if any("fluid" in picks(lump.feel) for lump in lumps) else None,
    )
    return ", ".join(words for words in found if words) or None


def _blisters(parent: Feeder, side: Side) -> str | None:
    grouped = "vesicles" in picks(parent.breast.skin_conditions.on(side))
    return "small fluid-filled blisters in a group" if grouped else None


def _for_the_provider(parent: Feeder, side: Side) -> str | None:
    skin, out = picks(parent.breast.skin.on(side)), picks(parent.breast.discharge.on(side))
    ducts = picks(parent.breast.discharge_ducts.on(side))
    blood = "blood" in out and ducts != {"several"}  # until told to be several it may be one
    fixed = any(SIDES[side] in every(place.side) and "fixed" in picks(place.moves) for place in parent.places)
    found = (
        (bool(skin & {"dimpled"}), "dimpled skin"),
        (bool(skin & {"orange_peel"}), "skin like orange peel"),
        (fixed, "a lump that does not move"),
        (blood, f"blood from {'one opening' if 'one' in ducts else 'openings not counted'}"),
    )
    return ", ".join(words for there, words in found if there) or None


def _colour_change(parent: Feeder, side: Side) -> str | None:
    changes = picks(parent.breast.colour_changes.on(side)) & {"white", "blue", "red", "burning", "throbbing"}
    lasting = picks(parent.breast.colour_course.on(side)) & {"comes_back", "stays"}
    return "nipple changes colour or burns, again and again" if changes and lasting else None


def _markers(parent: Feeder) -> str | None:
    """Markers of little gland tissue: one strong one, or two of the weaker (house rule, P)."""
    look = parent.breast
    shapes = picks(look.shape.left, look.shape.right)
    gaps = every(look.gap)
    wide = any(gap.base > WIDE_GAP for gap in gaps)
    strong = [said for code, said in LACKING.items() if code in shapes]
    strong += [f"more than {WIDE_GAP} mm between them"] if wide else []
    strong += ["one much larger"] if picks(look.evenness) & {"left_much", "right_much"} else []
    came_in = picks(parent.told.milk_in.left, parent.told.milk_in.right)
    weak = [
        words
        for there, words in (
            ("wide" in picks(look.spacing) and not gaps, "far apart"),
            ("stretch_marks" in picks(look.surface.left, look.surface.right), "stretch marks"),
            (bool(picks(parent.told.size_change) & {"none", "little"}), "little change in pregnancy"),
            (bool(came_in & {"not_yet", "not_noticed"}) and parent.from_(WEEK_1), "no fullness in the first week"),
        )
        if there
    ]
    seen = [*strong, *weak]
    return f"Markers seen: {', '.join(seen)}" if strong or len(weak) > 1 else None


FEED_PAIN = tuple(f"feed.{name}" for name in MOMENTS)
TOLD_PAIN = ("parent_history.pain_now", "parent_history.pain_worst")
PAIN_WHY = "Pain through a feed is a reason to change the latch, and to look for what else hurts."
SKIN_WHY = "Broken skin heals slowly and lets germs in; look at the latch as well."
PLACES = ("breast_finding.side", "breast_finding.kind")

RULES: tuple[Rule[Feeder], ...] = (
    Rule("parent_breast_seen", Level.SAME_DAY, _on_a_side(_seen_now),
         "It may need treatment that only a provider can give.", PROVIDER,
         "ABM protocols 36 and 30; 24 and 72 hours from memory", "S", also=("parent_breast",),
         fields=("breast_assessment.skin", "breast_assessment.skin_since", "breast_assessment.skin_course",
                 "breast_assessment.discharge", *PLACES, "breast_finding.since", "breast_finding.feel", *FEVER)),
    Rule("parent_blisters", Level.SAME_DAY, _on_a_side(_blisters),
         "Some blisters carry an infection that is dangerous to a young baby; looking cannot tell which.",
         f"Do not feed on that side until a provider has seen it. {PROVIDER}", "trade, from memory", "M",
         fields=("breast_assessment.skin_conditions",)),
    Rule("parent_engorged_fever", Level.SAME_DAY, _engorged_and_fever, "Fever is no part of fullness alone.", PROVIDER,
         "Hill and Humenick 1994; levels from memory", "S", over=("parent_engorged",), also=("parent_breast_seen",),
         fields=("breast_assessment.engorgement", *FEVER)),
    Rule("parent_breast_signs", Level.PROMPT, _on_a_side(_for_the_provider),
         "These signs are not of feeding; a provider looks further.", SOON, "common practice, no source", "M",
         fields=("breast_assessment.skin", "breast_assessment.discharge", "breast_assessment.discharge_ducts",
                 "breast_finding.side", "breast_finding.moves")),
    Rule("parent_pain_7", Level.PROMPT, _on_a_side(_very_sore), PAIN_WHY, SOON, "numeric scale in general use", "M",
         over=("parent_pain_4",), thresholds=("pain_prompt",),
         fields=(*FEED_PAIN, *TOLD_PAIN, "breast_assessment.pain_rest", "breast_assessment.pain_touch")),
    Rule("parent_nipple_trauma", Level.PROMPT, _on_a_side(_trauma), SKIN_WHY, SOON,
         "Nipple Trauma Score, Abou-Dakn 2011; levels, crust and spreading from memory", "S",
         over=("parent_nipple_damage",), fields=("breast_assessment.trauma_score", "breast_assessment.damage")),
    Rule("parent_nipple_stage", Level.PROMPT, _on_a_side(_stage), SKIN_WHY, SOON,
         "four-stage version of the trade; stage 4 from memory", "S2", over=("parent_nipple_damage",),
         fields=("breast_assessment.trauma_stage", "breast_finding.side", "breast_finding.where",
                 "breast_finding.depth")),
    Rule("parent_colour_change", Level.PROMPT, _on_a_side(_colour_change),
         "Cold and a pinched latch can bring it on; when it goes on a provider looks further.", SOON, "trade", "M",
         fields=("breast_assessment.colour_changes", "breast_assessment.colour_course")),
    Rule("parent_breast_markers", Level.PROMPT, _markers,
         "Milk may come slowly or stay little; weigh the baby early and often.", SOON,
         "Huggins 2000, as quoted; Arbour 2013; which of them count alone is a house rule", "S2",
         fields=("breast_assessment.gap", "breast_assessment.spacing", "breast_assessment.evenness",
                 "breast_assessment.shape", "breast_assessment.surface", "parent_history.size_change",
                 "parent_history.milk_in", "infant.born", "infant.born_day")),
    Rule("parent_pain_4", Level.FOLLOW_UP, _on_a_side(_sore), PAIN_WHY, AGAIN, "numeric scale in general use", "M",
         thresholds=("pain_follow_up",), fields=(*FEED_PAIN, *TOLD_PAIN, "parent_history.pain_when")),
    Rule("parent_engorged", Level.FOLLOW_UP, _on_a_side(_engorged),
         "Very full breasts are hard to latch to; milk that is not taken tells the breast to make less.", AGAIN,
         "Hill and Humenick 1994; levels from memory", "S", fields=("breast_assessment.engorgement",)),
    Rule("parent_nipple_damage", Level.NOTE, _on_a_side(_damage), "Described, so that the next look can be compared.",
         ROUTINE, "signs list, Nakamura 2018", "S", fields=("breast_assessment.damage",)),
    Rule("parent_nipple_shape", Level.NOTE, _on_a_side(_shape), "A pinched shape tells of the latch.", ROUTINE,
         "trade; nipple item of LATCH", "M",
         fields=("breast_assessment.nipple", "breast_assessment.shape_after", "feed.nipple_after")),
)  # fmt: skip
