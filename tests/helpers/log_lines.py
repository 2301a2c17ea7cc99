"""Lines of a log for tests: what a line is read against, and every line that can be typed or stand in a file."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from typing import Any

from hypothesis import strategies as st

from forms.answers import Moment, Quantity
from forms.ask import Path, ask_of, asks
from forms.feeding_log import AT_BREAST, GIVEN_OTHERWISE, LogLine
from forms.form import is_open
from forms.log_typed import Setting
from forms.units import quantity_of

__all__ = ["MARA", "NOW", "ZONE", "lines", "setting"]

ZONE = "America/New_York"
NOW = Moment(datetime(2026, 3, 3, 15, 42, tzinfo=UTC), ZONE)  # Tuesday, 10:42 by the clocks of the place
MARA, JOREN = "a" * 32, "b" * 32


def setting(before: str = "", **more: Any) -> Setting:
    """Read at that moment; `before` is the line before as "2026-03-02 23:40"."""
    at = Moment.of(datetime.fromisoformat(before), ZONE) if before else None
    return Setting(ZONE, NOW, at, people={"mara": MARA, "joren": JOREN}, **more)


_WORDS = st.text(st.characters(codec="utf-8", categories=("L", "N", "P", "Zs")), min_size=1, max_size=20).map(
    lambda text: "".join(one for one in text if one not in '"“”„«»').strip() or "words"
)


def _amounts(high: int) -> st.SearchStrategy[Quantity]:
    mL = st.integers(0, high).map(lambda n: quantity_of(str(n), "mL"))  # noqa: N806 - the unit as it is written
    oz = st.integers(0, high * 2 // 60 * 4).map(lambda n: quantity_of(f"{n // 4}.{n % 4 * 25:02}", "fl_oz"))
    return st.one_of(mL, oz)


_VALUES: dict[str, st.SearchStrategy[Any]] = {
    "kind_words": _WORDS,
    "amount": _amounts(500),
    "pumped_left": _amounts(500),
    "pumped_right": _amounts(500),
    "pumped_together": _amounts(1_000),
    "feeder": st.sampled_from((MARA, JOREN)),
    "feeder_other": _WORDS.filter(lambda text: text.casefold() not in ("mara", "joren")),
    "wet": st.booleans(),
    "stool_small": st.just(True),
    "slept": st.integers(0, 1_440).map(lambda n: quantity_of(str(n), "min")),
    "note": _WORDS,
}


@st.composite
def lines(draw: st.DrawFn) -> LogLine:
    """A line with a kind, in which every answer has its place beside the others."""
    kind = draw(st.sampled_from((*AT_BREAST, *GIVEN_OTHERWISE, "pumped", "diaper", "other")))
    at = NOW.at - timedelta(minutes=draw(st.integers(0, 200_000)))
    line = LogLine(kind=kind, starts=Moment(at, ZONE))
    if at + timedelta(minutes=1) < NOW.at and draw(st.booleans()):
        longest = min(200, int((NOW.at - at).total_seconds() // 60))
        line = _with(line, ends=Moment(at + timedelta(minutes=draw(st.integers(0, longest))), ZONE))
    for name, ask in asks(LogLine).items():
        if name in ("kind", "starts", "ends") or not is_open(line, Path(name)):
            continue
        if name == "feeder_other" and line.feeder is not None:
            continue
        if name.endswith("_together") and any(
            getattr(line, name.replace("together", side)) is not None for side in ("left", "right")
        ):
            continue
        plain = st.sampled_from(tuple(ask.options)) if ask.options else st.integers(ask.low or 0, ask.high or 10)
        values = _VALUES.get(name, plain)
        if name == "kind_words" or draw(st.booleans()):
            line = _with(line, **{name: draw(values)})
    return line


def _with(line: LogLine, **answers: Any) -> LogLine:
    kept = {name: getattr(line, name) for name in asks(LogLine)}
    assert all(ask_of(LogLine, name) for name in answers)
    return LogLine(**kept | answers)
