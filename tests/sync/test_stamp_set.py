"""Whether a paper gets a time stamp: off until a practice sets an address, and never for the call-now page."""

from __future__ import annotations

import pytest

from forms.ask import Paper
from forms.chart import entry_id
from forms.practice import Practice
from forms.stamp_address import stamp_address
from storage.store import Store
from sync.handoff.leave import make_paper, stamping_for
from sync.handoff.verify import verify
from tests.helpers import thornbury as t
from tests.helpers.stamping import Authority, no_connection, serving
from tests.helpers.stores import put
from tests.sync.test_leave import store

__all__ = ["store"]


@pytest.fixture(scope="module")
def authority(tmp_path_factory: pytest.TempPathFactory) -> Authority:
    return Authority(tmp_path_factory.mktemp("clock"))


def test_it_is_off_until_an_address_is_set_and_then_connects_to_nobody(store: Store) -> None:
    store.sign(t.VISIT, author=t.WRITER)
    chart = store.chart(t.FAMILY, t.VISIT)
    with no_connection():
        paper = make_paper(store, chart, Paper.FAMILY_PLAN, author=t.WRITER, now=t.NOW)
    verdict = verify(paper)
    assert verdict.good
    assert verdict.stamp is None


def test_a_practice_that_set_an_address_gets_its_papers_stamped_but_waits_for_nobody_with_the_call_now_page(
    store: Store, authority: Authority
) -> None:
    with serving(authority.stamp) as service:
        store.write([put(entry_id(Practice), "time_stamp_address", service.address)], author=t.WRITER)
        store.sign(t.VISIT, author=t.WRITER)
        chart = store.chart(t.FAMILY, t.VISIT)
        for kind in (Paper.FAMILY_PLAN, Paper.CALL_NOW):
            verdict = verify(make_paper(store, chart, kind, author=t.WRITER, now=t.NOW))
            assert verdict.good
            assert (verdict.stamp is not None) is (kind is Paper.FAMILY_PLAN)
        assert len(service.asked) == 1
        assert not stamping_for(chart, Paper.CALL_NOW).on


def test_an_address_keeps_its_way_and_question() -> None:
    found = stamp_address(" HTTPS://stamps.example.org/tsa?kind=rsa ")
    assert found is not None
    assert (found.secure, found.host, found.port, found.path) == (True, "stamps.example.org", 443, "/tsa?kind=rsa")
    assert stamp_address("http://[::1]:8080") is not None
