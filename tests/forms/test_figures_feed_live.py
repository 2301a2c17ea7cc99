"""The strip's figures of a feed told by its events: what matters large, each explained, none guessed."""

from __future__ import annotations

from typing import Any

from forms.chart import Entry
from forms.clinical.feed_clock import FORGOTTEN
from forms.feed import FeedObservation
from forms.figure import Figure
from forms.figures import figures
from forms.form import Form
from forms.people import ParentIdentity
from tests.forms.clinical.charted import BABY, PARENT, VISIT, charted, conflict, entry
from tests.forms.clinical.tapped import FEED, WHOLE, Row, at, event_entry, weighed

OTHER = "8" * 32


def told(*entries: Entry[Form], until: int = 900, **feed: Any) -> dict[str, Figure]:
    answers = entry(FEED, FeedObservation(**feed), PARENT, BABY, visit=VISIT)
    chart = charted(entry(PARENT, ParentIdentity(called_name="Mara")), answers, *entries)
    return {figure.id.replace(FEED, "feed"): figure for figure in figures(chart, at(until), BABY)}


def rows(*found: Row) -> list[Entry[Form]]:
    return [event_entry(f"{n:032d}", row) for n, row in enumerate(found, start=1)]


def test_a_feed_without_events_yields_nothing() -> None:
    assert not [name for name in told() if "feed" in name]


def test_the_whole_feed_in_the_strip() -> None:
    strip = told(*rows(*WHOLE))
    first = strip["first_swallow:feed:left"]
    assert (first.label, first.big) == ("First swallow, Mara's left", "34 s")
    assert first.small == (
        "8 swallows tapped, 4 bursts of sucking", "longest pause 45 s", "active 5 min 30 s of 7 min 30 s on"
    )  # fmt: skip
    # NOW's zone is New York, four hours behind UTC after 8 March.
    assert first.inputs == (
        "2 latches, 10:00:20 to 10:05:30", "8 swallows, 10:00:54 to 10:06:20", "2 pauses, 10:02:00 to 10:03:20"
    )  # fmt: skip
    assert strip["first_swallow:feed:right"].big == "1 min"
    sucks = strip["sucks:feed:left"]
    assert sucks.big == "3 early, 1.5 late"
    assert sucks.small == ("no swallow in 5 sucks", "it changes with flow and has no fixed normal")
    assert "(S)" in sucks.source
    assert "sucks:feed:right" not in strip
    (changed,) = [figure for name, figure in strip.items() if name.startswith("changed:feed:")]
    assert changed.label == "What changed, Mara's left, 10:05:00"
    assert changed.big == "Pain 6, then 2 of 10"
    assert changed.small == (
        "deeper latch", "before: 1.3 swallows an active minute", "after: 1.7 swallows an active minute"
    )  # fmt: skip
    pain = strip["feed_pain:feed"]
    assert (pain.big, pain.small) == ("6 first, 1 last of 10", ("highest 6 of 10 at 10:00:40",))
    assert pain.inputs[-1] == "1 at 10:08:30, Mara's right"
    assert not any(name.startswith("rate:") for name in strip)


def test_first_swallow_and_sucks_stand_before_what_changed_and_the_rate() -> None:
    heads = [name.partition(":")[0] for name in told(*rows(*WHOLE), *weights()) if ":feed" in name]
    order = ["first_swallow", "sucks", "changed", "feed_pain", "rate", "transfer"]
    assert list(dict.fromkeys(heads)) == order


def weights(**more: Any) -> list[Entry[Form]]:
    return [entry(f"{n}" * 32, reading, BABY) for n, reading in zip((3, 4), weighed(**more), strict=True)]


def test_a_weighed_side_has_a_rate_with_its_cautions_and_an_unweighed_one_none() -> None:
    strip = told(*rows(*WHOLE), *weights())
    rate = strip["rate:feed:left"]
    assert (rate.label, rate.big) == ("Transfer a minute, Mara's left", "4.0 g a minute")
    assert "one feed is a sample of the day" in rate.small
    assert "minutes and swallows are as tapped; watching does not measure milk" in rate.small
    assert rate.inputs == ("22 g on this side", "5 min 30 s of active sucking")
    assert "rate:feed:right" not in strip


def test_a_void_pair_has_no_rate_and_says_why() -> None:
    rate = told(*rows(*WHOLE), *weights(diaper_changed=True))["rate:feed:left"]
    assert (rate.big, rate.small) == ("–", ("no pair of weights that counts",))


def test_a_running_feed_counts_up_to_now_and_a_forgotten_one_does_not() -> None:
    running = rows((0, "latch", "left"), (30, "swallow", "left"))
    assert told(*running, until=90)["first_swallow:feed:left"].small[-1] == "active 1 min 30 s of 1 min 30 s so far"
    edge = 30 + int(FORGOTTEN.total_seconds())
    assert "so far" in told(*running, until=edge)["first_swallow:feed:left"].small[-1]
    late = told(*running, until=edge + 1)["first_swallow:feed:left"]
    assert (late.big, late.small[-1]) == ("30 s", "no letting go and no end was tapped")


def test_a_conflict_in_one_event_leaves_the_feed_unresolved_in_one_figure() -> None:
    strip = told(*rows(*WHOLE), event_entry("9" * 32, (5, "suck", "left"), lane=conflict("left", "right")))
    found = {name: figure for name, figure in strip.items() if ":feed" in name}
    assert list(found) == ["first_swallow:feed"]
    assert found["first_swallow:feed"].unresolved
    assert found["first_swallow:feed"].big == "–"
    assert "settle it under the events of this feed" in found["first_swallow:feed"].small[0]


def test_nothing_tapped_of_swallows_is_a_dash_with_why_and_no_nought() -> None:
    strip = told(*rows((0, "latch", "left"), *((n, "suck", "left") for n in range(1, 13)), (60, "off_self", "left")))
    assert (strip["first_swallow:feed:left"].big, strip["first_swallow:feed:left"].small[0]) == (
        "–", "no swallow was tapped"
    )  # fmt: skip
    assert strip["sucks:feed:left"].big == "no swallow in 12 sucks"


def test_a_burst_with_fewer_sucks_than_swallows_is_told_and_makes_no_number() -> None:
    few = told(*rows(
        (0, "latch", "left"), (1, "suck", "left"), (2, "suck", "left"), (3, "swallow", "left"), (9, "pause", "left"),
        (20, "suck", "left"), (21, "swallow", "left"), (22, "swallow", "left"),
    ))["sucks:feed:left"]  # fmt: skip
    assert few.big == "2 early"
    assert few.small[0] == "late: fewer sucks than swallows were tapped"


def test_pain_asked_on_one_side_of_a_change_only_is_said_to_be() -> None:
    def comfort(*pains: Row) -> str:
        strip = told(*rows((0, "latch", "left"), *pains, (60, "help", "left")))
        return next(figure.big for name, figure in strip.items() if name.startswith("changed:"))

    assert comfort() == "–"
    assert comfort((30, "pain", "left", 0)) == "Pain 0 of 10, then not asked"
    assert comfort((90, "pain", "left", 5)) == "Pain not asked, then 5 of 10"


def test_what_could_not_be_placed_is_told() -> None:
    stray = [event_entry("7" * 32, (9, "swallow", None)), event_entry("6" * 32, (9, "swallow", "left"), at=None)]
    small = told(*rows((0, "latch", "left"), (1, "latch", "left")), *stray)["first_swallow:feed:left"].small
    assert small[-3:] == (
        "latched twice with no letting go between", "1 event without a time, not counted",
        "1 event without a side, not counted",
    )  # fmt: skip


def test_events_from_memory_are_said_to_be() -> None:
    late = [event_entry("7" * 32, (9, "swallow", "left"), noted="after")]
    first = told(*rows((0, "latch", "left"), (30, "swallow", "left")), *late)["first_swallow:feed:left"]
    assert first.inputs[1] == "2 swallows, 10:00:09 to 10:00:30, 1 of them entered from memory"


def test_a_choke_beside_none_of_these_is_shown_and_neither_is_taken_away() -> None:
    tapped = rows((0, "latch", "left"), (40, "choke", "left"))
    sign = told(*tapped, baby_signs=("none",))["feed_signs:feed:choke"]
    assert (sign.big, sign.watch) == ("Choked, as tapped", "check the entry")
    assert sign.small == ("“None of these” also stands",)
    assert "feed_signs:feed:choke" in told(*tapped, baby_signs=conflict(("none",), ("choke",)))
    assert "feed_signs:feed:choke" not in told(*tapped, baby_signs=("choke",))


def test_two_feeds_are_told_apart_and_share_nothing() -> None:
    second = entry(OTHER, FeedObservation(), PARENT, BABY, visit=VISIT)
    theirs = [
        event_entry(f"5{n:031d}", row, OTHER) for n, row in enumerate(((0, "latch", "right"), (7, "swallow", "right")))
    ]
    strip = told(*rows(*WHOLE), second, *theirs)
    assert strip["first_swallow:feed:left"].label == "First swallow, Mara's left at feed 1"
    assert strip[f"first_swallow:{OTHER}:right"].label == "First swallow, Mara's right at feed 2"
    assert strip[f"first_swallow:{OTHER}:right"].big == "7 s"
    assert f"first_swallow:{OTHER}:left" not in strip


def test_every_figure_of_a_feed_names_its_source_its_formula_and_what_went_in() -> None:
    for name, figure in told(*rows(*WHOLE), *weights()).items():
        if ":feed" not in name or name.startswith("transfer"):
            continue
        assert figure.formula, name
        assert figure.inputs, name
        assert any(f"({mark})" in figure.source for mark in ("C", "S", "P")), name
