"""Two devices and a locum: a visit's draft open on both, offline; met in either order; settled once; the same end."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from pytestqt.qtbot import QtBot

from desktop.pages.differ import DifferPage
from desktop.pages.differ_block import DifferBlock
from forms.answers import Conflicted
from forms.breast import BreastAssessment
from forms.chart import Place, entry_id
from forms.visit import Jot
from forms.weight import WeightReading
from storage.changes import Begin
from storage.store import Store
from storage.troubles import ConflictAtSigning
from tests.helpers.stores import AUTHOR, BABY, FAMILY, PARENT, VISIT, grams, put
from tests.helpers.two_devices import LOCUM, Devices, devices, settled_all, ways

OTHER, JOT, FIRST, SECOND = "6" * 32, "7" * 32, "8" * 32, "9" * 32
BREAST = entry_id(BreastAssessment, VISIT, (PARENT,))


@pytest.fixture
def apart(tmp_path: Path, qtbot: QtBot) -> Iterator[Devices]:
    """Visit A open on both, visit B begun, then both go on offline."""
    made = devices(tmp_path)
    made.laptop.write(
        [
            Begin(OTHER, Place("visit", FAMILY)), put(OTHER, "kind", "home"),
            Begin(BREAST, Place("breast_assessment", FAMILY, VISIT, (PARENT,))), put(BREAST, "pain_touch@left", 3),
        ],
        author=AUTHOR,
    )  # fmt: skip
    for store in (made.laptop, made.tablet):
        made.meet(store)
    made.laptop.write(
        [
            put(BREAST, "pain_touch@left", 4),
            Begin(FIRST, Place("weight", FAMILY, VISIT, (BABY,))), put(FIRST, "weight", grams(4010)),
        ],
        author=AUTHOR,
    )  # fmt: skip
    made.tablet.write(
        [
            put(BREAST, "pain_touch@left", 6),
            Begin(SECOND, Place("weight", FAMILY, VISIT, (BABY,))), put(SECOND, "weight", grams(3990)),
            Begin(JOT, Place("jot", FAMILY, VISIT)), put(JOT, "words", "sleepy at the second side"),
        ],
        author=LOCUM,
    )  # fmt: skip
    made.tablet.sign(OTHER, author=LOCUM)
    yield made
    made.close()


def pain(store: Store) -> object:
    answers = store.chart(FAMILY, VISIT).one(BreastAssessment, PARENT)
    return answers.pain_touch.left if answers.pain_touch is not None else None


@pytest.mark.parametrize("first", ["laptop", "tablet"])
def test_in_either_order_both_stand_one_is_picked_and_both_devices_end_the_same(
    apart: Devices, first: str, qtbot: QtBot
) -> None:
    one, other = (apart.laptop, apart.tablet) if first == "laptop" else (apart.tablet, apart.laptop)
    signed = apart.tablet.signatures(FAMILY)
    apart.meet(one)
    assert apart.meet(other).conflicts == 1
    apart.meet(one)
    for store in (one, other):
        chart = store.chart(FAMILY, VISIT)
        weights = sorted(e.answers.weight.base for e in chart.all(WeightReading, BABY))  # type: ignore[union-attr]
        assert weights == [3990, 4010]
        assert [e.answers.words for e in chart.all(Jot)] == ["sleepy at the second side"]
        standing = pain(store)
        assert isinstance(standing, Conflicted)
        assert {(v.value, v.author) for v in standing.variants} == {(4, AUTHOR), (6, LOCUM)}
        with pytest.raises(ConflictAtSigning):
            store.sign(VISIT, author=AUTHOR)
        assert store.recheck(OTHER) == ()
        assert store.signatures(FAMILY) == signed

    session = apart.window(apart.laptop)
    page = DifferPage(session, ways())
    qtbot.addWidget(page)
    page.show()
    settled_all(session)
    (block,) = (each for each in page.blocks.values() if isinstance(each, DifferBlock))
    assert block.shown.started == ("3",)
    picked = next(at for at, stands in enumerate(block.shown.stands) if stands.value == 6)
    block.picks[picked].click()
    block.reason.setText("said it again at the door")
    block.keep.click()
    settled_all(session)

    apart.meet(apart.laptop)
    assert apart.meet(apart.tablet).settled == 1
    apart.meet(apart.laptop)
    assert (pain(apart.laptop), pain(apart.tablet)) == (6, 6)
    history = apart.tablet.history(BREAST, put(BREAST, "pain_touch@left", 0).path)
    assert {4, 6} <= {head.value for head in history}
    assert history[-1].reason == "said it again at the door"
    assert apart.laptop.exchange().digest() == apart.tablet.exchange().digest()
    again = apart.meet(apart.tablet)
    assert (again.sent, again.received, again.conflicts) == (0, {}, 0)
    for store in (apart.laptop, apart.tablet):
        assert store.check() == ()
        assert store.recheck(OTHER) == ()
    apart.laptop.sign(VISIT, author=AUTHOR)
