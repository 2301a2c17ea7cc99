"""No prompt goes away without a line that says why: the charts of a visit followed one after another."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta
from typing import Any, cast

from hypothesis import given, settings
from hypothesis import strategies as st

from forms.answers import Quantity
from forms.chart import Chart, Entry, Struck, entry_id
from forms.clinical.prompt_trace import READ, WATCHED, Gone, How, Trace, Written, followed
from forms.clinical.prompts import Prompt, fired, prompts
from forms.form import Form
from forms.infant import InfantAssessment
from forms.infant_history import InfantHistory
from forms.parent_history import ParentHistory
from forms.people import InfantIdentity
from forms.prompted import PromptClosed
from forms.thresholds import Thresholds
from tests.forms.clinical.charted import BABY, NOW, PARENT, VISIT, ZONE, charted, entry, moment, urgent, weight


def degrees(typed: str) -> Quantity:
    return Quantity(typed, "C", int(float(typed) * 10))


def trace_of(*charts: Chart) -> Trace:
    """The trace of charts that stood a minute after another."""
    trace = Trace(replace(charts[0], entries=()))
    for minutes, chart in enumerate(charts):
        trace = trace.then(chart, NOW + timedelta(minutes=minutes))
    return trace


def words(gone: Gone) -> str:
    return gone.words(ZONE, NOW)


def test_a_corrected_answer_leaves_a_line_that_names_it_and_since_when() -> None:
    hot, corrected = charted(seen={"temperature": degrees("38.4")}), charted(seen={"temperature": degrees("36.9")})
    (line,) = trace_of(hot, corrected, corrected).lines(BABY)
    assert line.prompt.rule == "infant_fever_28"
    assert words(line) == "No longer fires since 11:01: Temperature was changed."


def test_a_weight_struck_out_leaves_a_line_that_says_so() -> None:
    low = charted(losing=3400)
    slip = replace(low.entries[-1], struck=Struck("author", NOW, "another baby's weight"))
    (line,) = trace_of(low, low.with_entry(slip)).lines(BABY)
    assert line.prompt.rule == "infant_loss_15"
    assert words(line) == "No longer fires since 11:01: Weight was struck out."


def test_a_newer_weight_is_named_as_the_answer_that_ended_a_prompt() -> None:
    low = charted(weight(3600, NOW - timedelta(hours=30)), hours=80)
    risen = low.with_entry(weight(3900, NOW - timedelta(minutes=5)))
    (line,) = trace_of(low, risen).lines(BABY)
    assert "Weight was answered" in words(line)


def test_a_private_answer_is_named_without_its_question() -> None:
    told, taken_back = charted(parent={"mood_signs": ("voices",)}), charted(parent={"mood_signs": ("none",)})
    (line,) = trace_of(told, taken_back).lines(PARENT)
    assert words(line) == "No longer fires since 11:01: A private answer was changed."


def test_a_prompt_that_fires_again_has_no_line_and_one_that_ends_again_has_its_own_time() -> None:
    hot, cool = charted(seen={"temperature": degrees("38.4")}), charted(seen={"temperature": degrees("36.9")})
    assert trace_of(hot, cool, hot).lines(BABY) == ()
    assert "11:03" in words(trace_of(hot, cool, hot, cool).lines(BABY)[0])


def test_a_rung_under_a_stronger_one_of_its_sign_still_stands() -> None:
    assert trace_of(charted(losing=3600), charted(losing=3400)).gone == {}
    both = trace_of(charted(losing=3600), charted(losing=3400), charted(losing=3900)).lines(BABY)
    assert {line.prompt.rule for line in both} == {"infant_loss_10", "infant_loss_15"}


def test_a_house_threshold_set_back_is_named() -> None:
    house = entry(entry_id(Thresholds), Thresholds(fever=degrees("37.5")))
    warm = charted(house, seen={"temperature": degrees("37.7")})
    back = warm.with_entry(replace(house, answers=Thresholds()))
    (line,) = trace_of(warm, back).lines(BABY)
    assert words(line) == "No longer fires since 11:01: Fever of a baby was cleared."


def test_time_alone_is_named_when_no_answer_changed() -> None:
    chart = charted(seen={"temperature": degrees("38.4")}, hours=29 * 24 - 1)
    late = NOW + timedelta(hours=3)
    trace = Trace(chart).then(chart, NOW).then(chart, late)
    (line,) = trace.lines(BABY)
    assert line.prompt.rule == "infant_fever_28"
    assert line.words(ZONE, late) == "No longer fires since 14:00: time has passed."


def test_the_log_is_followed_from_the_first_thing_written_at_the_visit() -> None:
    chart = charted(weight(3000, NOW - timedelta(days=2)), hours=80)
    before = [Written(NOW, "weight", e) for e in chart.entries if e.id != VISIT]
    risen = Written(NOW, "weight", weight(4100, NOW - timedelta(days=1)))
    visit = [Written(NOW, "start", e) for e in chart.entries if e.id == VISIT]
    empty = replace(chart, entries=())
    assert (BABY, "infant_loss_15") not in followed(empty, [*before, risen, *visit]).seen
    assert "infant_loss_15" in {line.prompt.rule for line in followed(empty, [*before, *visit, risen]).lines(BABY)}


def test_an_assessment_struck_out_fires_nothing_any_more_and_says_it_was_struck() -> None:
    chart = charted(seen={"temperature": degrees("38.4")})
    trace = Trace(replace(chart, entries=())).then(chart, NOW)
    (seen,) = chart.all(InfantAssessment, BABY)
    struck = chart.with_entry(replace(cast("Entry[Form]", seen), struck=Struck("author", NOW, "another baby")))
    assert prompts(struck, NOW) == ()
    assert [change.how for gone in trace.then(struck, NOW).lines(BABY) for change in gone.because] == [How.STRUCK]


ANSWERS: tuple[tuple[type[Form], str, str, tuple[Any, ...]], ...] = (
    (InfantAssessment, BABY, "temperature", (None, degrees("36.8"), degrees("38.4"), degrees("35.9"))),
    (InfantAssessment, BABY, "waking", (None, "wakes", "hard_to_wake", "cannot_be_woken")),
    (InfantAssessment, BABY, "colour", (None, ("pink",), ("yellow",), ("blue_lips_face",))),
    (InfantHistory, BABY, "wets_24h", (None, 0, 2, 8)),
    (InfantHistory, BABY, "stool_colour", (None, ("yellow",), ("black",), ("pale",))),
    (InfantHistory, BABY, "feeds_24h", (None, 5, 9)),
    (ParentHistory, PARENT, "warning_signs", (None, ("none",), ("leg",), ("chest_pain",))),
    (ParentHistory, PARENT, "systolic", (None, 118, 142, 165)),
    (ParentHistory, PARENT, "mood_signs", (None, ("none",), ("voices",))),
)
BIRTHS = (None, moment(NOW - timedelta(hours=60)), moment(NOW - timedelta(days=16)), moment(NOW - timedelta(hours=20)))
SCALE = (2900, 3380, 3590, 3720, 4050)

acts = st.one_of(
    st.tuples(st.just("answer"), st.integers(0, len(ANSWERS) - 1), st.integers(0, 3)),
    st.tuples(st.just("born"), st.just(0), st.integers(0, len(BIRTHS) - 1)),
    st.tuples(st.just("weigh"), st.integers(0, 3), st.integers(0, len(SCALE) - 1)),
    st.tuples(st.just("strike"), st.integers(0, 9), st.just(0)),
    st.tuples(st.just("restore"), st.integers(0, 9), st.just(0)),
    st.tuples(st.just("fever"), st.just(0), st.integers(0, 1)),
    st.tuples(st.just("close"), st.integers(0, 5), st.booleans()),
)


def after(chart: Chart, act: tuple[str, int, Any]) -> Chart:
    """The chart after one act of a consultant: an answer, a correction, a strike-out, a return, a closing."""
    kind, which, value = act
    entries = [e for e in chart.entries if e.place.form in ("weight", "infant_assessment", "infant_history")]
    match kind:
        case "answer":
            form, person, field, options = ANSWERS[which]
            name = entry_id(form, VISIT, (person,))
            held = chart.by_id(name) or entry(name, form(), person, visit=VISIT)
            answers = replace(held.answers, **{field: options[value % len(options)]})
            return chart.with_entry(replace(held, answers=answers))
        case "born":
            (baby,) = chart.all(InfantIdentity)
            answers = replace(baby.answers, born=BIRTHS[value])
            return chart.with_entry(Entry(baby.id, baby.place, answers, baby.author, baby.entered))
        case "weigh":
            made = weight(SCALE[value], NOW - timedelta(minutes=20 + which))
            return chart.with_entry(replace(made, id=f"{which:032d}"))
        case "strike" | "restore" if entries:
            struck = Struck("author", NOW, "a slip") if kind == "strike" else None
            return chart.with_entry(replace(entries[which % len(entries)], struck=struck))
        case "fever":
            house = Thresholds(fever=degrees("37.5") if value else None)
            return chart.with_entry(entry(entry_id(Thresholds), house))
        case "close":
            standing = prompts(chart, NOW)
            if standing:
                return chart.with_entry(_closing(standing[which % len(standing)], number=len(chart.entries)))
    return chart


def _closing(prompt: Prompt, number: int) -> Entry[Form]:
    name = f"c{number:031d}"
    if prompt.urgent:
        said = {"outcome": "family_refused", "family_words": "we would rather wait"}
        return urgent(prompt.person, prompt.rule, name=name, **said)
    done = PromptClosed(
        covers=(prompt.rule,), outcome="done", action="weighed again tomorrow", by_whom="the consultant", at=moment(NOW)
    )
    return entry(name, done, prompt.person, visit=VISIT)


@settings(max_examples=150, deadline=None)
@given(st.lists(acts, min_size=1, max_size=14))
def test_whatever_is_answered_corrected_or_struck_every_prompt_that_fired_stands_is_closed_or_has_a_line(
    done: list[tuple[str, int, Any]],
) -> None:
    chart, at = charted(), NOW
    trace = Trace(replace(chart, entries=())).then(chart, at)
    ever = {prompt.key: prompt for prompt in prompts(chart, at)}
    for act in done:
        chart, at = after(chart, act), at + timedelta(seconds=1)
        trace = trace.then(chart, at)
        shown, everything = fired(chart, at)
        ever |= {prompt.key: prompt for prompt in shown}
        standing = {prompt.key for prompt in everything}
        for key, prompt in ever.items():
            line = trace.gone.get(key)
            assert (key in standing) != (line is not None), key
            if line is not None:
                assert line.because, f"{key} went away and no answer is named"
                assert all(c.path is None or f"{c.form}.{c.path.field}" in READ[prompt.rule] for c in line.because)


def test_every_answer_that_the_property_changes_is_watched() -> None:
    assert {f"{form.name}.{field}" for form, _, field, _ in ANSWERS} <= WATCHED
