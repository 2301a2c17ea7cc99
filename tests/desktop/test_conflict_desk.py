"""What two devices wrote apart is seen everywhere, blocks signing and papers, and is settled by a person at a desk."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from pytestqt.qtbot import QtBot

from desktop.differing import read_differing
from desktop.pages.caseload import CaseloadPage
from desktop.pages.differ import DifferPage
from desktop.pages.differ_block import DifferBlock, LateBlock
from forms.answers import Conflicted
from forms.chart import Place
from forms.people import InfantIdentity
from forms.visit import Addendum
from storage.changes import Begin, StrikeOut
from storage.disputes import Kind
from storage.log import Operation
from storage.troubles import ConflictAtSigning
from sync.merge.proposal import proposed
from sync.merge.replica import Replica
from tests.helpers.stores import AUTHOR, BABY, FAMILY, VISIT, grams, put
from tests.helpers.two_devices import LOCUM, Devices, devices, settled_all, ways
from tests.helpers.visits import key_named, said


@pytest.fixture
def pair(tmp_path: Path, qtbot: QtBot) -> Iterator[Devices]:
    made = devices(tmp_path)
    yield made
    made.close()


@pytest.fixture
def torn(pair: Devices) -> Devices:
    """The baby's name written apart, and met."""
    pair.laptop.write([put(BABY, "called_name", "Ida")], author=AUTHOR)
    pair.tablet.write([put(BABY, "called_name", "Idi")], author=LOCUM)
    for store in (pair.laptop, pair.tablet, pair.laptop):
        pair.meet(store)
    return pair


@pytest.fixture
def desk(torn: Devices, qtbot: QtBot) -> DifferPage:
    session = torn.window(torn.laptop)
    page = DifferPage(session, ways())
    qtbot.addWidget(page)
    page.resize(1280, 800)
    page.show()
    settled_all(session)
    return page


def block(page: DifferPage) -> DifferBlock:
    (found,) = (one for one in page.blocks.values() if isinstance(one, DifferBlock))
    return found


def name_of(pair: Devices) -> object:
    return pair.laptop.chart(FAMILY, VISIT).person(InfantIdentity, BABY).called_name


def test_every_value_stands_with_who_when_where_and_what_both_started_from(desk: DifferPage) -> None:
    words = said(desk)
    assert "1 answer differs" in words
    assert "Both started from: Idå" in words
    assert "Rosalind Achterberg" in words
    assert "on this device" in words
    assert "R. Vale" in words
    assert "on Tablet" in words


def test_the_ancestor_is_the_one_the_merge_in_memory_finds(torn: Devices) -> None:
    (dispute,) = torn.laptop.disputes()
    replica = Replica()
    with torn.laptop._db.transaction() as c:
        from storage.registers import operations

        kept: list[Operation] = list(operations(c))
    replica.take(kept)
    (standing,) = replica.conflicts()
    assert [one.hash for one in replica.started_from(standing)] == [head.operation for head in dispute.started]
    assert {one.hash for one in standing.operations} == {head.operation for head in dispute.heads}


def test_nothing_is_written_without_a_pick_and_a_reason(torn: Devices, desk: DifferPage) -> None:
    one = block(desk)
    one._settle()
    one.picks[0].click()
    one.keep.click()
    assert "Say in a word or two why this one holds" in said(desk)
    settled_all(desk.session)
    assert isinstance(name_of(torn), Conflicted)


def test_the_picked_value_holds_everywhere_and_the_other_stays_in_the_history(torn: Devices, desk: DifferPage) -> None:
    one = block(desk)
    picked = next(at for at, stands in enumerate(one.shown.stands) if stands.words == "Idi")
    one.picks[picked].click()
    one.reason.setText("asked her")
    one.keep.click()
    settled_all(desk.session)
    assert name_of(torn) == "Idi"
    settled_all(desk.session)
    assert "Nothing differs" in said(desk)
    for store in (torn.laptop, torn.tablet):
        torn.meet(store)
    assert torn.tablet.chart(FAMILY, VISIT).person(InfantIdentity, BABY).called_name == "Idi"
    history = torn.tablet.history(BABY, put(BABY, "called_name", "x").path)
    assert {head.value for head in history} == {"Idå", "Ida", "Idi"}
    assert history[-1].reason == "asked her"


def test_a_value_that_comes_in_while_she_decides_is_not_written_over(torn: Devices, desk: DifferPage) -> None:
    one = block(desk)
    one.picks[0].click()
    one.reason.setText("asked her")
    torn.tablet.write([put(BABY, "called_name", "Ide", replaces=())], author=LOCUM)
    torn.meet(torn.tablet)
    torn.meet(torn.laptop)
    one.keep.click()
    settled_all(desk.session)
    standing = name_of(torn)
    assert isinstance(standing, Conflicted)
    assert "Ide" in {variant.value for variant in standing.variants}


def test_a_disputed_answer_is_seen_in_the_list_of_families_and_its_key_leads_to_the_desk(
    torn: Devices, qtbot: QtBot
) -> None:
    session, routes = torn.window(torn.laptop), ways()
    page = CaseloadPage(session, routes)
    qtbot.addWidget(page)
    page.resize(1280, 800)
    page.show()
    settled_all(session)
    settled_all(session)
    assert "2 answers differ" in said(page) or "answer" in said(page)
    assert "1 answer differs" in page.sync_key.accessibleName()
    from desktop.controls.buttons import Link

    link = next(each for each in page.findChildren(Link) if each.text() == "Settle them")
    link.click()
    assert routes.gone == [("differ", FAMILY)]  # type: ignore[attr-defined]


def test_a_disputed_weight_blocks_the_signature_of_its_visit(pair: Devices) -> None:
    weight = "8" * 32
    pair.laptop.write(
        [Begin(weight, Place("weight", FAMILY, VISIT, (BABY,))), put(weight, "weight", grams(3110))], author=AUTHOR
    )
    for store in (pair.laptop, pair.tablet):
        pair.meet(store)
    pair.laptop.write([put(weight, "weight", grams(3120))], author=AUTHOR)
    pair.tablet.write([put(weight, "weight", grams(3210))], author=LOCUM)
    for store in (pair.tablet, pair.laptop):
        pair.meet(store)
    with pytest.raises(ConflictAtSigning):
        pair.laptop.sign(VISIT, author=AUTHOR)
    from desktop.pages.caselines import traces_of

    trace = next(one for one in traces_of(pair.laptop.chart(FAMILY)) if one.baby == BABY)
    assert (trace.points, trace.disputed) == ((), 1)  # no weight is taken for the one that holds


def test_a_text_is_joined_as_a_proposal_only() -> None:
    start = "Latched well on the left. Sleepy."
    made = proposed(start, "Latched well on the left. Sleepy, then woke.", "Latched very well on the left. Sleepy.")
    assert made.words == "Latched very well on the left. Sleepy, then woke."
    assert made.open == 0
    both = proposed(start, "Latched badly on the left. Sleepy.", "Latched nicely on the left. Sleepy.")
    assert both.words == "Latched [badly | nicely] on the left. Sleepy."
    assert both.open == 1


def test_brackets_of_a_proposal_are_settled_before_its_words_are_kept(pair: Devices, qtbot: QtBot) -> None:
    jot = "7" * 32
    pair.laptop.write([Begin(jot, Place("jot", FAMILY, VISIT)), put(jot, "words", "Latched well.")], author=AUTHOR)
    for store in (pair.laptop, pair.tablet):
        pair.meet(store)
    pair.laptop.write([put(jot, "words", "Latched badly.")], author=AUTHOR)
    pair.tablet.write([put(jot, "words", "Latched nicely.")], author=LOCUM)
    for store in (pair.tablet, pair.laptop):
        pair.meet(store)
    session = pair.window(pair.laptop)
    page = DifferPage(session, ways())
    qtbot.addWidget(page)
    page.resize(1280, 800)
    page.show()
    settled_all(session)
    one = block(page)
    assert one.own is not None
    assert one.own.toPlainText() in {"Latched [badly. | nicely.]", "Latched [nicely. | badly.]"}
    one.picks[-1].click()
    one.reason.setText("both were so")
    one.keep.click()
    assert "brackets" in said(page)
    settled_all(session)
    assert len(pair.laptop.heads(jot, put(jot, "words", "x").path)) == 2
    one.own.setPlainText("Latched badly, then nicely.")
    one.keep.click()
    settled_all(session)
    (head,) = pair.laptop.heads(jot, put(jot, "words", "x").path)
    assert head.value == "Latched badly, then nicely."


def test_an_entry_struck_here_and_written_to_there_is_shown_and_settled(pair: Devices, qtbot: QtBot) -> None:
    weight = "8" * 32
    pair.laptop.write(
        [Begin(weight, Place("weight", FAMILY, VISIT, (BABY,))), put(weight, "weight", grams(3110))], author=AUTHOR
    )
    for store in (pair.laptop, pair.tablet):
        pair.meet(store)
    pair.laptop.write([StrikeOut(weight, "wrong baby")], author=AUTHOR)
    pair.tablet.write([put(weight, "weight", grams(3210))], author=LOCUM)
    for store in (pair.tablet, pair.laptop):
        pair.meet(store)
    session = pair.window(pair.laptop)
    page = DifferPage(session, ways())
    qtbot.addWidget(page)
    page.resize(1280, 800)
    page.show()
    settled_all(session)
    one = next(b for b in page.blocks.values() if isinstance(b, DifferBlock) and b.shown.dispute.kind is Kind.STRUCK)
    assert "Struck out: wrong baby" in said(page)
    assert "Weight: 3,210 g" in said(page)
    key_named(one, "It counts").click()
    one.reason.setText("it was the right baby")
    one.keep.click()
    settled_all(session)
    entry = pair.laptop.entry(weight)
    assert entry is not None
    assert entry.struck is None
    assert pair.laptop.disputes() == ()


@pytest.mark.parametrize("key", ["Add it below the note", "Seen, leave it"])
def test_what_arrived_after_signing_becomes_an_addendum_or_is_left(pair: Devices, qtbot: QtBot, key: str) -> None:
    pair.tablet.write([put(VISIT, "kind", "clinic")], author=LOCUM)
    pair.laptop.sign(VISIT, author=AUTHOR)
    pair.meet(pair.tablet)
    pair.meet(pair.laptop)
    session = pair.window(pair.laptop)
    assert session.sharing.seen.late == 1
    page = DifferPage(session, ways())
    qtbot.addWidget(page)
    page.resize(1280, 800)
    page.show()
    settled_all(session)
    one = next(each for each in page.blocks.values() if isinstance(each, LateBlock))
    assert any("Clinic" in line or "clinic" in line for line in one.gone.lines)
    key_named(one, key).click()
    settled_all(session)
    settled_all(session)
    assert session.sharing.seen.late == 0
    chart = pair.laptop.chart(FAMILY, VISIT)
    added = [entry.answers for entry in chart.all(Addendum)]
    assert [one.kind for one in added] == (["received"] if key.startswith("Add") else [])
    assert pair.laptop.recheck(VISIT) == ()
    pair.meet(pair.laptop)
    pair.meet(pair.tablet)
    if added:
        assert pair.tablet.chart(FAMILY, VISIT).all(Addendum)


def test_two_signatures_over_one_visit_are_both_shown(pair: Devices) -> None:
    pair.tablet.write([put(VISIT, "kind", "clinic")], author=LOCUM)
    pair.laptop.sign(VISIT, author=AUTHOR)
    pair.tablet.sign(VISIT, author=LOCUM)
    for store in (pair.laptop, pair.tablet, pair.laptop):
        pair.meet(store)
    differing, _gone = read_differing("", "Europe/London")(pair.laptop)
    one = next(each for each in differing if each.dispute.kind is Kind.SIGNED)
    assert len(one.stands) == 2
    assert pair.laptop.recheck(VISIT) == ()


def test_two_signatures_over_one_visit_are_settled_in_words_below_the_note(pair: Devices, qtbot: QtBot) -> None:
    for store, place, who in ((pair.tablet, "Upstairs", LOCUM), (pair.laptop, "The kitchen", AUTHOR)):
        store.write([put(VISIT, "place", place)], author=who)
        store.sign(VISIT, author=who)
    for store in (pair.laptop, pair.tablet, pair.laptop):
        pair.meet(store)
    session = pair.window(pair.laptop)
    page = DifferPage(session, ways())
    qtbot.addWidget(page)
    page.resize(1280, 800)
    page.show()
    settled_all(session)
    assert len(pair.laptop.disputes()) == 2
    for kind in (Kind.ANSWER, Kind.SIGNED):
        one = next(b for b in page.blocks.values() if isinstance(b, DifferBlock) and b.shown.dispute.kind is kind)
        assert not one.picks
        one.keep.click()
        assert "both stay until then" in said(page)
        one.below.setPlainText("We sat in the kitchen.")
        one.keep.click()
        settled_all(session)
    assert pair.laptop.disputes() == ()
    assert pair.laptop.recheck(VISIT) == ()
    added = [entry.answers for entry in pair.laptop.chart(FAMILY, VISIT).all(Addendum)]
    assert len(added) == 2
    assert all("We sat in the kitchen." in str(one.words) for one in added)
    assert any("Upstairs" in str(one.words) and "The kitchen" in str(one.words) for one in added)
    pair.meet(pair.laptop)
    pair.meet(pair.tablet)
    assert pair.tablet.disputes() == ()
