"""Feed observation: one feeder, one baby, one feed, each side of the feeder apart.

Weights before and after are `WeightReading` entries that point to the feed. A feed that was not seen is an entry too,
with the reason, so that a missing observation is never an empty page.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import Any

from forms.answers import Given, Moment, Quantity, Side, Sided, every
from forms.ask import (
    Coded,
    Need,
    NotCoded,
    Paper,
    Printed,
    When,
    choice,
    codes,
    count,
    line,
    many,
    moment,
    quantity,
    scale,
    text,
    yes_no,
)
from forms.form import About, Form, declared

__all__ = ["FeedObservation", "trouble_seen"]

CLINICAL = Printed((Paper.REFERRAL, Paper.REPORT, Paper.SUMMARY))
SEEN = NotCoded("an observed latch finding; handed over as text inside its form")
PART = NotCoded("says how the feed went on; handed over inside its form")
PAIN = Coded("http://loinc.org", "72514-3")

WATCHED = When("observed", one_of=("seen", "video"))
USED = When("used", one_of=("fed", "tried"))
FED = When("used", one_of=("fed",))
TRIED = When("change_tried", one_of=(True,))
EXTRA = When("supplement", one_of=(True,))
BOTTLE = When("bottle_seen", one_of=(True,))
CHEST: Mapping[str, Any] = MappingProxyType({"paper": CLINICAL, "code": SEEN, "need": Need.WHEN_OPEN, "sides": True})
PAINFUL: Mapping[str, Any] = MappingProxyType({**CHEST, "code": PAIN, "ends": ("no pain", "the worst pain")})
FEED: Mapping[str, Any] = MappingProxyType({"paper": CLINICAL, "code": PART, "need": Need.WHEN_OPEN})

SWALLOWS = codes(none="None", few="Few", some="Some", many="Many")


@declared("feed", "Feed", About.PAIR_AT_VISIT, repeats=True)
@dataclass(frozen=True, slots=True, kw_only=True)
class FeedObservation(Form):
    """One feed, as watched. Sides are the feeder's own; a side that was not offered asks nothing further."""

    observed: Given[str] = choice(
        "A feed was watched",
        {"seen": "Seen in the room", "video": "Seen by video", "not_seen": "No feed was seen"},
        need=Need.MUST, paper=CLINICAL, code=PART,
    )  # fmt: skip
    not_observed_because: Given[str] = choice(
        "Why no feed was seen",
        {
            "asleep": "Baby asleep",
            "just_fed": "Had just fed",
            "declined": "Family preferred not to",
            "remote": "Phone or video visit",
            "not_at_breast": "Not fed at the breast or chest now",
            "urgent": "Something more urgent came first",
            "other": "Another reason",
        },
        when=When("observed", one_of=("not_seen",)), **FEED,
    )  # fmt: skip
    not_observed_words: Given[str] = text(
        "The other reason", when=When("not_observed_because", one_of=("other",)), **FEED
    )
    began: Given[Moment] = moment("Feed began", when=WATCHED, **FEED)
    last_ended: Given[Moment] = moment("Last feed before this ended", when=WATCHED, **FEED)
    place: Given[str] = line("Where: chair, bed, sofa", when=WATCHED, paper=CLINICAL, code=PART)
    baby_state: Given[str] = choice(
        "Baby at the start",
        {
            "asleep": "Asleep",
            "drowsy": "Drowsy",
            "quiet": "Awake and quiet",
            "cueing": "Showing early hunger signs",
            "crying": "Crying",
            "hard_to_wake": "Hard to wake",
        },
        when=WATCHED, **FEED,
    )  # fmt: skip
    helped_by: Given[str] = line("Who helped", when=WATCHED, **FEED)
    devices: Given[tuple[str, ...]] = many(
        "Helpers used",
        {
            "none": "None",
            "shield": "Nipple shield",
            "tube": "Tube at the breast or chest",
            "pillow": "Pillow",
            "stool": "Footstool",
            "other": "Something else",
        },
        alone=("none",), when=WATCHED, **FEED,
    )  # fmt: skip
    # 10 to 40 mm: house bound, no source.
    shield_size: Given[Quantity] = quantity(
        "Shield size", ("mm",), low=10, high=40, when=When("devices", one_of=("shield",)),
        source="house bound, no source", **FEED,
    )  # fmt: skip
    device_words: Given[str] = line("Which helper", when=When("devices", one_of=("other",)), **FEED)

    used: Sided[Given[str]] = choice(
        "This side", {"fed": "Fed here", "tried": "Offered, did not latch", "not_offered": "Not offered"},
        when=WATCHED, **CHEST,
    )  # fmt: skip
    position: Sided[Given[str]] = choice(
        "Position",
        {
            "cradle": "Cradle",
            "cross_cradle": "Cross-cradle",
            "under_arm": "Under the arm",
            "side_lying": "Side-lying",
            "leaned_back": "Leaned back",
            "upright": "Upright, straddling",
            "tandem": "Two babies together",
            "other": "Another position",
        },
        when=USED, **CHEST,
    )  # fmt: skip
    body: Sided[Given[tuple[str, ...]]] = many(
        "Body, as seen",
        {
            "facing": "Facing the feeder",
            "close": "Held close",
            "in_line": "Ear, shoulder and hip in one line",
            "neck_straight": "Neck not turned",
            "supported": "Whole body supported",
            "nose_to_nipple": "Came to the breast nose to nipple",
            "chin_first": "Chin came in first",
            "none": "None of these",
        },
        alone=("none",), when=USED, **CHEST,
    )  # fmt: skip
    latched_by: Sided[Given[str]] = choice(
        "Who brought baby on",
        {"baby": "Baby alone", "feeder": "The feeder", "together": "Feeder with help", "helper": "A helper"},
        when=USED, **CHEST,
    )  # fmt: skip
    tries: Sided[Given[int]] = count("Tries", low=0, high=60, when=USED, source="house bound, no source", **CHEST)
    minutes_to_latch: Sided[Given[int]] = count(
        "Minutes until latched", low=0, high=60, when=FED, source="house bound, no source", **CHEST
    )
    help_level: Sided[Given[int]] = scale(
        "Help needed", ends=("none", "all of it was done for them"), when=USED, **CHEST
    )
    latched: Sided[Given[Moment]] = moment("Latched at", when=FED, **CHEST)
    let_go: Sided[Given[Moment]] = moment("Off at", when=FED, not_before="latched", **CHEST)
    attachment: Sided[Given[tuple[str, ...]]] = many(
        "Latch, as seen",
        {
            "wide": "Wide gape, about 120 degrees or more",
            "lips_out": "Both lips turned out",
            "asymmetric": "More areola above than below",
            "chin_in": "Chin pressed in",
            "nose_free": "Nose tip just touching",
            "cheeks_full": "Cheeks full",
            "jaw_rounded": "Rounded jaw strokes",
            "none": "None of these",
        },
        alone=("none",), when=FED, **CHEST,
    )  # fmt: skip
    latch_concerns: Sided[Given[tuple[str, ...]]] = many(
        "Latch, of concern",
        {
            "shallow": "Shallow",
            "cheeks_in": "Cheeks dimpled in",
            "clicking": "Clicking",
            "slipping": "Slides off",
            "lip_in": "A lip turned in",
            "biting": "Clamps or chews",
            "none": "None seen",
        },
        alone=("none",), when=FED, **CHEST,
    )  # fmt: skip
    pain_at_latch: Sided[Given[int]] = scale("Pain at latch", when=USED, **PAINFUL)
    pain_after_30s: Sided[Given[int]] = scale(
        "Pain after 30 seconds", when=FED, source="4 or more: common practice, no source",
        help="4 or more: break the seal with a clean finger at the corner of the mouth, and try again.", **PAINFUL,
    )  # fmt: skip
    pain_middle: Sided[Given[int]] = scale("Pain midway", when=FED, **PAINFUL)
    pain_at_end: Sided[Given[int]] = scale("Pain at the end", when=FED, **PAINFUL)
    rhythm: Sided[Given[str]] = choice(
        "Sucking",
        {
            "settled": "Quick at first, then slow and deep",
            "quick": "Quick and shallow throughout",
            "bursts": "Short bursts, long pauses",
            "uneven": "Uneven, loses its rhythm",
            "hardly": "Hardly any",
        },
        when=FED, **CHEST,
    )  # fmt: skip
    jaw: Sided[Given[tuple[str, ...]]] = many(
        "Jaw",
        {
            "back_to_ear": "Rounded strokes seen back to the ear while milk flowed",
            "smaller_late": "Smaller and further forward as the feed ended",
            "none": "Neither of these",
        },
        alone=("none",), sides=True, when=FED, paper=CLINICAL, code=SEEN,
    )  # fmt: skip
    # It varies with age and flow, so it is recorded and never judged: common practice, no source.
    breathing: Sided[Given[str]] = choice(
        "Pauses to breathe",
        {
            "third_or_fourth": "Short, about each third or fourth suck",
            "with_swallows": "Within a steady suck, swallow, breathe",
            "varied": "Changed through the feed",
            "long": "Long ones",
            "none": "None seen",
        },
        sides=True, when=FED, paper=CLINICAL, code=SEEN, help="It changes with age and flow; nothing is made of it.",
    )  # fmt: skip
    # 1 to 20 sucks: house bound, no source; the ratio changes with flow and has no fixed normal (S, PMC8465002).
    sucks_early: Sided[Given[int]] = count(
        "Sucks to a swallow, early", low=1, high=20, when=FED, source="house bound, no source", **CHEST
    )
    sucks_late: Sided[Given[int]] = count(
        "Sucks to a swallow, late", low=1, high=20, when=FED, source="house bound, no source", **CHEST
    )
    swallows: Sided[Given[str]] = choice("Swallows", SWALLOWS, when=FED, **CHEST)
    swallows_known: Sided[Given[tuple[str, ...]]] = many(
        "Swallows were", {"heard": "Heard", "seen": "Seen"}, when=When("swallows", one_of=("few", "some", "many")),
        **CHEST,
    )  # fmt: skip
    let_down: Sided[Given[str]] = choice(
        "Letdown", {"felt": "Felt", "seen": "Seen", "both": "Felt and seen", "neither": "Neither"},
        sides=True, when=USED, paper=CLINICAL, code=SEEN,
    )  # fmt: skip
    flow: Sided[Given[str]] = choice(
        "Flow", {"easy": "Baby keeps up", "fast": "Too fast for baby", "slow": "Too slow for baby"},
        sides=True, when=FED, paper=CLINICAL, code=SEEN,
    )  # fmt: skip
    ended_by: Sided[Given[str]] = choice(
        "Ended by",
        {
            "baby": "Baby let go",
            "asleep": "Baby fell asleep",
            "feeder": "The feeder",
            "pain": "The feeder, because of pain",
            "helper": "A helper",
        },
        when=FED, **CHEST,
    )  # fmt: skip
    breast_after: Sided[Given[str]] = choice(
        "Afterwards this side was", {"softer": "Softer", "little": "A little softer", "same": "The same"},
        when=FED, **CHEST,
    )  # fmt: skip
    nipple_after: Sided[Given[str]] = choice(
        "Nipple on release",
        {
            "round": "Round, as before",
            "longer": "Longer, still round",
            "creased": "Creased",
            "wedged": "Wedged or slanted",
            "blanched": "Blanched",
            "flattened": "Flattened",
        },
        when=FED, **CHEST,
    )  # fmt: skip
    change_tried: Sided[Given[bool]] = yes_no("Something was changed and tried", when=USED, **CHEST)
    tried: Sided[Given[str]] = text("What was tried, and what it did", when=TRIED, **CHEST)
    pain_before_change: Sided[Given[int]] = scale("Pain before the change", when=TRIED, **PAINFUL)
    pain_after_change: Sided[Given[int]] = scale("Pain after the change", when=TRIED, **PAINFUL)
    swallows_before_change: Sided[Given[str]] = choice("Swallows before the change", SWALLOWS, when=TRIED, **CHEST)
    swallows_after_change: Sided[Given[str]] = choice("Swallows after the change", SWALLOWS, when=TRIED, **CHEST)
    why_not_tried: Sided[Given[str]] = text(
        "Why nothing was tried", sides=True, when=When("change_tried", one_of=(False,)), paper=CLINICAL, code=SEEN,
        help="Needed when this side hurt or the latch was of concern.",
    )  # fmt: skip

    baby_signs: Given[tuple[str, ...]] = many(
        "Seen in baby during the feed",
        {
            "none": "None of these",
            "cough": "Coughed",
            "choke": "Choked",
            "colour": "Changed colour: blue, grey or very pale",
            "breathing_pause": "Stopped breathing for a moment",
            "noisy_breath": "Noisy breathing",
            "sweating": "Sweated",
            "milk_from_nose": "Milk from the nose",
            "spit_up": "Spit up",
        },
        alone=("none",), when=WATCHED, **FEED,
    )  # fmt: skip
    hands: Given[tuple[str, ...]] = many(
        "Hands and arms through the feed",
        {
            "fists": "Fists at the face",
            "opening": "Fingers opening",
            "loose": "Arms hanging loose",
            "none": "None of these",
        },
        alone=("none",), when=WATCHED, paper=CLINICAL, code=PART,
    )  # fmt: skip
    baby_after: Given[tuple[str, ...]] = many(
        "Baby afterwards",
        {
            "relaxed": "Hands and arms loose",
            "asleep": "Asleep",
            "content": "Awake and settled",
            "cueing": "Still asking",
            "upset": "Upset",
        },
        when=WATCHED, **FEED,
    )  # fmt: skip
    supplement: Given[bool] = yes_no("More milk was given at this feed", when=WATCHED, **FEED)
    supplement_milk: Given[tuple[str, ...]] = many(
        "Which milk", {"own": "Own milk", "donor": "Donor milk", "formula": "Formula"}, when=EXTRA, **FEED
    )
    # 0 to 500 mL in one feed: house bound, no source.
    supplement_amount: Given[Quantity] = quantity(
        "How much", ("mL", "fl_oz"), low=0, high=500, when=EXTRA, source="house bound, no source", **FEED
    )
    supplement_method: Given[str] = choice(
        "Given by",
        {
            "bottle": "Bottle",
            "tube_breast": "Tube at the breast or chest",
            "cup": "Cup",
            "spoon": "Spoon",
            "syringe": "Syringe",
            "finger": "Finger",
            "feeding_tube": "Feeding tube",
        },
        when=EXTRA, **FEED,
    )  # fmt: skip
    supplement_minutes: Given[int] = count(
        "Minutes it took", low=0, high=60, when=EXTRA, source="house bound, no source", **FEED
    )
    supplement_stress: Given[tuple[str, ...]] = many(
        "Signs of stress while it was given",
        {
            "none": "None",
            "spread_fingers": "Spread fingers",
            "turning_away": "Turned away",
            "gulping": "Gulped",
            "spilling": "Spilled",
            "wide_eyes": "Wide eyes",
        },
        alone=("none",), when=EXTRA, **FEED,
    )  # fmt: skip
    bottle_seen: Given[bool] = yes_no("A bottle feed was watched", when=WATCHED, **FEED)
    bottle_flow: Given[str] = choice(
        "Teat flow", {"slow": "Slow", "medium": "Medium", "fast": "Fast", "unknown": "Not known"}, when=BOTTLE, **FEED
    )
    bottle_pacing: Given[str] = choice(
        "Pacing", {"paced": "Paced", "partly": "Partly", "not_paced": "Not paced"}, when=BOTTLE, **FEED
    )
    # 0 to 500 mL in one bottle: house bound, no source.
    bottle_amount: Given[Quantity] = quantity(
        "Taken from the bottle", ("mL", "fl_oz"), low=0, high=500, when=BOTTLE, source="house bound, no source", **FEED
    )
    bottle_minutes: Given[int] = count(
        "Minutes at the bottle", low=0, high=60, when=BOTTLE, source="house bound, no source", **FEED
    )
    bottle_spill: Given[str] = choice(
        "Spilled", {"none": "None", "little": "A little", "much": "Much"}, when=BOTTLE, **FEED
    )
    feeder_view: Given[int] = scale(
        "How the feed was for the feeder", ends=("very hard", "just as hoped"), when=WATCHED, **FEED
    )
    feeder_words: Given[str] = text("In the feeder's own words", when=WATCHED, **FEED)


# Pain of 4 or more after the first half minute asks for a change to be tried: common practice, no source.
SORE = 4
_PAINS = ("pain_after_30s", "pain_middle", "pain_at_end")
_RELEASED_WELL = ("round", "longer")


def trouble_seen(feed: FeedObservation, side: Side) -> bool:
    """Whether that side hurt or its latch, swallows or release were of concern, so that something should be tried.

    Looks at every value of a conflicted answer: one of them is enough.
    """
    if "tried" in every(feed.used.on(side)):
        return True
    pains: tuple[Sided[Given[int]], ...] = tuple(getattr(feed, name) for name in _PAINS)
    if any(pain >= SORE for given in pains for pain in every(given.on(side))):
        return True
    concerns = {code for picked in every(feed.latch_concerns.on(side)) for code in picked} - {"none"}
    pinched = any(shape not in _RELEASED_WELL for shape in every(feed.nipple_after.on(side)))
    return bool(concerns) or pinched or "none" in every(feed.swallows.on(side))
