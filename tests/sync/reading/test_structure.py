"""Any value in any place of a well-formed bundle, as a stranger's program might write it, is read or refused."""

from __future__ import annotations

import json
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from forms.ask import Paper
from forms.trouble import Trouble
from sync.handoff.document import record_bytes
from sync.handoff.reading.held import HandOver
from sync.handoff.reading.read import read_file
from tests.helpers import thornbury as t
from tests.helpers.records import record

GOOD = json.loads(record_bytes(record(t.whole(), Paper.SUMMARY)))


def places(value: Any, where: tuple[Any, ...] = ()) -> list[tuple[Any, ...]]:
    found = [where] if where else []
    inner = value.items() if isinstance(value, dict) else enumerate(value) if isinstance(value, list) else ()
    for name, one in inner:
        found += places(one, (*where, name))
    return found


PLACES = places(GOOD)
VALUES: st.SearchStrategy[Any] = st.recursive(
    st.none() | st.booleans() | st.integers(-(10**20), 10**20) | st.text(max_size=5) | st.just("2026-13-99T99:00:00Z"),
    lambda inner: (
        st.lists(inner, max_size=3)
        | st.dictionaries(st.sampled_from(("text", "code", "reference", "value", "url", "answer", "coding")), inner)
    ),
    max_leaves=5,
)


def put(bundle: Any, where: tuple[Any, ...], value: Any) -> Any:
    made = json.loads(json.dumps(bundle))
    at = made
    for step in where[:-1]:
        at = at[step]
    at[where[-1]] = value
    return made


@settings(max_examples=250, deadline=None)
@given(st.sampled_from(PLACES), VALUES)
def test_a_value_of_any_shape_in_any_place_never_ends_in_a_traceback(where: tuple[Any, ...], value: Any) -> None:
    data = json.dumps(put(GOOD, where, value)).encode()
    try:
        assert isinstance(read_file(data, zone=t.ZONE, now=t.NOW), HandOver)
    except Trouble:  # a refusal is the other good end; anything else ends the test
        return


@pytest.mark.parametrize("kind", ["PractitionerRole", "Observation", "Patient", "Condition"])
def test_a_code_that_is_a_list_leaves_the_resource_unread_and_the_rest_read(kind: str) -> None:
    odd = {"resource": {"resourceType": kind, "id": "odd", "code": [{"text": "nurse"}], "name": "x", "status": []}}
    before = read_file(json.dumps(GOOD).encode(), zone=t.ZONE, now=t.NOW)
    data = json.dumps({**GOOD, "entry": [*GOOD["entry"], odd]}).encode()
    found = read_file(data, zone=t.ZONE, now=t.NOW)
    assert found.offers == before.offers
    assert found.unread[-1].kind == kind
