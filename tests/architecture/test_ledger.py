"""A key that was ever shipped keeps its meaning, so that every old record stays readable."""

from __future__ import annotations

import pytest

from tests.architecture.ledger import LEDGER, changed, declared, read, written


def test_no_shipped_key_changed_vanished_or_came_back() -> None:
    assert changed(read(LEDGER.read_text("utf-8")), declared()) == []


def test_every_declared_key_stands_in_the_ledger() -> None:
    missing = sorted(set(declared()) - set(read(LEDGER.read_text("utf-8"))))
    assert missing == [], "add them with: python -m tests.architecture.ledger --add"


def test_the_ledger_is_sorted_and_holds_each_key_once() -> None:
    text = LEDGER.read_text("utf-8")
    assert written(read(text)) == text


def test_a_key_twice_in_the_ledger_is_refused() -> None:
    with pytest.raises(ValueError, match="twice"):
        read("infant.sex choice\ninfant.sex line\n")


def test_a_key_with_another_kind_is_refused() -> None:
    assert changed({"infant.sex": "choice"}, {"infant.sex": "line"}) != []


def test_a_retired_key_may_stay_away_but_not_come_back() -> None:
    kept = read("infant.colour_of_tag choice retired\n")
    assert changed(kept, {}) == []
    assert changed(kept, {"infant.colour_of_tag": "choice"}) != []


def test_a_key_that_vanished_without_being_retired_is_refused() -> None:
    assert changed({"infant.sex": "choice"}, {}) != []
