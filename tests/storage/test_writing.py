"""The write path: operations, registers, conflicts, strike-outs."""

from __future__ import annotations

from datetime import UTC, datetime

import pytest

from forms.answers import Absence, Absent, Conflicted, Quantity, Sided
from forms.ask import Kind, Path, asks
from forms.chart import Place, entry_id
from forms.parent_history import ParentHistory
from forms.trouble import Bug
from forms.weight import WeightReading
from storage.changes import Begin, Put, Restore, StrikeOut
from storage.log import Operation
from storage.store import Store
from storage.troubles import AttachmentMissing, CannotBeKept
from tests.helpers.stores import AUTHOR, BABY, FAMILY, PARENT, VISIT, Clock, answers, grams, moment, opened, put
from tests.storage.conftest import Made

WEIGHT = "9" * 32
SIDED = next(name for name, ask in asks(ParentHistory).items() if ask.sides and ask.kind in (Kind.TEXT, Kind.LINE))


def weigh(amount: int, entity: str = WEIGHT) -> list[Begin | Put]:
    return [Begin(entity, Place("weight", FAMILY, None, (BABY,))), put(entity, "weight", grams(amount))]


def test_one_write_is_all_or_nothing(store: Store) -> None:
    before = store.chart(FAMILY)
    with pytest.raises(Bug):
        store.write([put(FAMILY, "pets", "A dog"), put(FAMILY, "no_such_field", 1)], author=AUTHOR)
    assert store.chart(FAMILY) == before
    assert store.check() == ()


def test_a_change_set_says_what_was_touched(store: Store) -> None:
    done = store.write(weigh(3210), author=AUTHOR)
    assert done.touched == {(WEIGHT, Path("@place")), (WEIGHT, Path("weight"))}
    assert done.families == {FAMILY}
    assert len(done.operations) == 2


def test_an_answer_said_again_writes_nothing(store: Store) -> None:
    store.write(weigh(3210), author=AUTHOR)
    done = store.write(weigh(3210), author=AUTHOR)
    assert not done
    assert len(store.history(WEIGHT, Path("weight"))) == 1


def test_nothing_is_overwritten_a_correction_keeps_what_it_corrects(store: Store) -> None:
    store.write(weigh(3210), author=AUTHOR)
    store.write([put(WEIGHT, "weight", grams(3120), reason="read again")], author="b" * 32)
    first, second = store.history(WEIGHT, Path("weight"))
    assert (first.value, first.author) == (grams(3210), AUTHOR)
    assert (second.value, second.author, second.reason) == (grams(3120), "b" * 32, "read again")
    assert store.heads(WEIGHT, Path("weight"))[0].operation == second.operation


def test_two_writes_on_one_version_stand_beside_each_other_as_a_conflict(store: Store) -> None:
    store.write(weigh(3000), author=AUTHOR)
    seen = tuple(head.operation for head in store.heads(WEIGHT, Path("weight")))
    store.write([put(WEIGHT, "weight", grams(3100), replaces=seen)], author=AUTHOR)
    store.write([put(WEIGHT, "weight", grams(3200), replaces=seen)], author="b" * 32)
    given = answers(store, WEIGHT)
    assert isinstance(given, WeightReading)
    assert isinstance(given.weight, Conflicted)
    assert [(v.value, v.author) for v in given.weight.variants] == [(grams(3100), AUTHOR), (grams(3200), "b" * 32)]
    assert store.caseload()[0].conflicts == 1

    both = tuple(head.operation for head in store.heads(WEIGHT, Path("weight")))
    store.write([put(WEIGHT, "weight", grams(3150), replaces=both)], author=AUTHOR)
    assert answers(store, WEIGHT).weight == grams(3150)
    assert store.caseload()[0].conflicts == 0
    assert len(store.history(WEIGHT, Path("weight"))) == 4


def test_equal_values_written_twice_show_as_one_and_both_stay(store: Store) -> None:
    store.write(weigh(3000), author=AUTHOR)
    seen = tuple(head.operation for head in store.heads(WEIGHT, Path("weight")))
    other = Quantity("3.1", "kg", 3100)
    store.write([put(WEIGHT, "weight", other, replaces=seen)], author=AUTHOR)
    store.write([put(WEIGHT, "weight", grams(1), replaces=seen)], author=AUTHOR)
    heads = store.heads(WEIGHT, Path("weight"))
    store.write([put(WEIGHT, "weight", other, replaces=(heads[1].operation,))], author="b" * 32)
    assert len(store.heads(WEIGHT, Path("weight"))) == 2
    assert answers(store, WEIGHT).weight == other


def test_an_answer_taken_away_on_one_side_and_changed_on_the_other_is_a_conflict(store: Store) -> None:
    store.write(weigh(3000), author=AUTHOR)
    seen = tuple(head.operation for head in store.heads(WEIGHT, Path("weight")))
    store.write([put(WEIGHT, "weight", None, replaces=seen)], author=AUTHOR)
    store.write([put(WEIGHT, "weight", grams(3100), replaces=seen)], author=AUTHOR)
    assert isinstance(answers(store, WEIGHT).weight, Conflicted)


def test_both_sides_of_an_answer_are_kept_apart(store: Store) -> None:
    one = entry_id(ParentHistory, VISIT, (PARENT,))
    store.write(
        [
            Begin(one, Place("parent_history", FAMILY, VISIT, (PARENT,))),
            *[put(one, f"{SIDED}@{side}", f"on the {side}") for side in ("left", "right")],
        ],
        author=AUTHOR,
    )
    given = store.chart(FAMILY, VISIT).one(ParentHistory, PARENT)
    assert getattr(given, SIDED) == Sided("on the left", "on the right")


def test_what_is_struck_out_stays_readable_and_does_not_count(store: Store) -> None:
    store.write(weigh(3000), author=AUTHOR)
    store.write([StrikeOut(WEIGHT, "another baby was on the scale")], author=AUTHOR)
    chart = store.chart(FAMILY)
    entry = chart.by_id(WEIGHT)
    assert entry is not None
    assert entry.struck is not None
    assert (entry.struck.by, entry.struck.reason) == (AUTHOR, "another baby was on the scale")
    assert entry.answers.weight == grams(3000)  # type: ignore[attr-defined]
    assert chart.all(WeightReading) == ()
    store.write([Restore(WEIGHT, "it was this baby after all")], author=AUTHOR)
    assert len(store.chart(FAMILY).all(WeightReading, BABY)) == 1


def test_a_strike_out_needs_a_reason(store: Store) -> None:
    store.write(weigh(3000), author=AUTHOR)
    with pytest.raises(Bug):
        store.write([StrikeOut(WEIGHT, "  ")], author=AUTHOR)


@pytest.mark.parametrize(
    "name",
    [
        "x" * 100_000,
        "👩‍🍼 Ωmega 💧",
        "عائشة بنت محمد",
        "O’Brien-N'Diaye",
        "Sukarno",
        "line\nbreaks\r\nand\ttabs\0and nothing",
    ],
    ids=["long", "emoji", "arabic", "apostrophe", "single", "control"],
)  # fmt: skip
def test_text_is_kept_whole(closed: Made, name: str) -> None:
    store = opened(closed.folder)
    store.write([put(PARENT, "full_name", name)], author=AUTHOR)
    store.close()
    again = opened(closed.folder)
    assert answers(again, PARENT).full_name == name
    assert again.check() == ()
    again.close()


def test_half_a_character_is_refused_in_a_sentence_and_nothing_is_written(store: Store) -> None:
    before = store.chart(FAMILY)
    with pytest.raises(CannotBeKept, match="broken character"):
        store.write([put(FAMILY, "pets", "a cat"), put(PARENT, "full_name", "Ada \ud83d")], author=AUTHOR)
    assert store.chart(FAMILY) == before


def test_a_value_that_is_no_answer_is_our_bug_and_the_report_does_not_hold_it(store: Store) -> None:
    with pytest.raises(Bug) as bug:
        store.write([put(FAMILY, "pets", 3.25)], author=AUTHOR)
    assert "3.25" not in str(bug.value)


def test_an_entry_cannot_be_moved_nor_written_before_it_is_begun(store: Store) -> None:
    store.write(weigh(3000), author=AUTHOR)
    with pytest.raises(Bug):
        store.write([Begin(WEIGHT, Place("weight", FAMILY, None, (PARENT,)))], author=AUTHOR)
    with pytest.raises(Bug):
        store.write([put("8" * 32, "weight", grams(1))], author=AUTHOR)
    with pytest.raises(Bug):
        store.write([put(WEIGHT, "weight", grams(1), replaces=("0" * 64,))], author=AUTHOR)


def test_what_a_newer_version_wrote_is_kept_and_shown_as_it_stands(store: Store) -> None:
    from storage.registers import append

    store.write(weigh(3000), author=AUTHOR)
    with store._writing() as writing:
        for field, value in (("aura", {"hue": 7}), ("taken", {"lunar": 3}), ("state", {"absent": "later", "why": ""})):
            made, writing.chain = writing.chain.next(WEIGHT, field, value, (), AUTHOR, writing.now, "")
            append(writing.c, made, writing.chain.count, None)
    entry = store.chart(FAMILY).by_id(WEIGHT)
    assert entry is not None
    assert entry.unknown == {"aura": {"hue": 7}, "taken": {"lunar": 3}, "state": {"absent": "later", "why": ""}}
    assert entry.answers.weight == grams(3000)  # type: ignore[attr-defined]
    assert store.check() == ()


def test_an_operation_is_named_by_the_hash_of_its_bytes_and_names_the_one_before(store: Store) -> None:
    store.write(weigh(3000), author=AUTHOR)
    with store._db.transaction() as c:
        raws = [bytes(row.bytes) for row in c.exec_driver_sql("SELECT bytes FROM operation ORDER BY position")]
    made = [Operation.read(raw) for raw in raws]
    assert [one.seq for one in made] == list(range(1, len(made) + 1))
    assert [one.prev for one in made] == ["", *(one.hash for one in made[:-1])]


def test_a_clock_set_back_does_not_disorder_what_is_shown(closed: Made) -> None:
    store = opened(closed.folder, Clock(datetime(2020, 1, 1, tzinfo=UTC)))
    store.write(weigh(3000), author=AUTHOR)
    store.write([put(WEIGHT, "weight", grams(3001))], author=AUTHOR)
    first, second = store.history(WEIGHT, Path("weight"))
    assert first.at <= second.at
    assert first.at >= store.chart(FAMILY).by_id(VISIT).entered  # type: ignore[union-attr]
    assert store.heads(WEIGHT, Path("weight"))[0].value == grams(3001)
    store.close()


def test_an_attachment_comes_back_byte_for_byte(store: Store) -> None:
    data = bytes(range(256)) * 5000
    name = store.attach(data, "application/pdf")
    assert store.attach(data, "application/pdf") == name
    assert store.attachment(name) == data
    with pytest.raises(AttachmentMissing):
        store.attachment("0" * 64)
    assert store.check() == ()


def test_a_secret_is_kept_replaced_and_dropped(closed: Made) -> None:
    store = opened(closed.folder)
    store.keep_secret("practice root", b"first")
    store.keep_secret("practice root", b"second")
    store.close()
    again = opened(closed.folder)
    assert again.secret("practice root") == b"second"
    assert again.secret("another") is None
    again.drop_secret("practice root")
    assert again.secret("practice root") is None
    again.close()


def test_practice_entries_are_apart_from_families(store: Store) -> None:
    store.write([Begin("7" * 32, Place("provider")), put("7" * 32, "full_name", "Dr Tamsin Vole")], author=AUTHOR)
    assert [entry.id for entry in store.practice_entries()] == ["7" * 32]
    assert store.chart(FAMILY).by_id("7" * 32) is not None
    assert store.chart("0" * 32).entries == store.practice_entries()


def test_values_of_every_kind_come_back_as_they_were(store: Store) -> None:
    values = {
        "weight": Quantity("8 lb 3", "lb_oz", 3714),
        "taken": moment(3),
        "state": Absent(Absence.NOT_DONE, "no scale"),
        "diaper_changed": False,
        "scale_name": "",
    }
    store.write([*weigh(1), *(put(WEIGHT, path, value) for path, value in values.items())], author=AUTHOR)
    given = answers(store, WEIGHT)
    assert {path: getattr(given, path) for path in values} == values
    assert given.repeat is None
