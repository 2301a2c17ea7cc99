"""A time stamp in the window: its service is set on the practice's page, a paper without one says so and why."""

from __future__ import annotations

from datetime import UTC, datetime
from pathlib import Path

import pytest

from desktop.controls.words import Words
from desktop.pages.check_paper import CheckPaperPage
from desktop.pages.paper_found import when_words
from desktop.theme.tokens import Role
from forms.practice import Practice
from sync.handoff.verify import verify
from tests.desktop.gallery_checking import checked, known
from tests.desktop.gallery_stamps import address, serve
from tests.desktop.test_protected_page import Ready, a_letter, asked_of, issued, ready, said_in
from tests.helpers.asked import let_leave
from tests.helpers.program import Program
from tests.helpers.stamping import BY, Authority, serving, stamped_paper
from tests.helpers.twins import TwinVisit
from tests.helpers.visits import settled

__all__ = ["ready"]

REFUSED = "Papers are sealed without a time stamp until this is a web address"


def test_before_a_paper_leaves_a_stamp_is_spoken_of_only_where_one_is_asked_for(made: TwinVisit, ready: Ready) -> None:
    written = a_letter(made)
    papers = ready(written)
    papers.save_key.click()
    assert "time stamp" not in said_in(asked_of(made, papers).preview)
    serve(made, "https://stamps.example.org/")
    papers.home.reload()
    settled(made)
    papers.save_key.click()
    assert "A time stamp is asked for" in said_in(asked_of(made, papers).preview)


def test_a_letter_leaves_stamped_and_nothing_more_is_said_of_it(
    made: TwinVisit, ready: Ready, tmp_path: Path, tmp_path_factory: pytest.TempPathFactory
) -> None:
    with serving(Authority(tmp_path_factory.mktemp("clock")).stamp) as service:
        serve(made, service.address)
        papers = ready(a_letter(made))
        let_leave(made, papers, "plain")
        assert len(service.asked) == 1  # looking at the pages and at what would leave asked nobody
    verdict = verify((tmp_path / "letter.pdf").read_bytes())
    assert verdict.good
    assert verdict.stamp is not None
    assert "Saved as" in papers.told.said()
    assert "time stamp" not in papers.told.said()


@pytest.mark.parametrize("way", ["plain", "password"])
def test_a_letter_that_got_no_stamp_leaves_all_the_same_and_says_so(
    way: str, made: TwinVisit, ready: Ready, tmp_path: Path
) -> None:
    with serving(lambda _query: b"", status=503) as service:
        serve(made, service.address)
        papers = ready(a_letter(made))
        let_leave(made, papers, way)
    assert "Saved as" in papers.told.said()
    assert "Sealed without a time stamp: the service answered with an error." in papers.told.said()
    assert (tmp_path / "letter.pdf").exists()
    assert len(issued(made)) == 1


def test_an_address_that_cannot_be_used_is_told_and_stays_as_typed(program: Program) -> None:
    page = address(program, "stamps.example.org")
    assert any(REFUSED in words.said() for words in page.main.findChildren(Words))
    assert page.home.binding(Practice).value("time_stamp_address") == "stamps.example.org"
    for usable in ("https://stamps.example.org/", ""):
        page = address(program, usable)
        assert not any(REFUSED in words.said() for words in page.main.findChildren(Words))


def test_a_stamp_is_told_by_whom_without_vouching_for_them_and_never_in_green(program: Program) -> None:
    for show in (_stranger, _known):
        (told,) = [words for words in show(program).main.findChildren(Words) if BY in words.said()]
        assert "by an authority not known here, which calls itself" in told.said()
        assert told._ink is Role.INK


def test_a_time_that_no_zone_has_is_told_all_the_same() -> None:
    last = datetime(9999, 12, 31, 23, 59, tzinfo=UTC)
    assert when_words(last, "Pacific/Auckland") == "9999-12-31 23:59 UTC"


def _stranger(program: Program) -> CheckPaperPage:
    return checked(program, stamped_paper())


def _known(program: Program) -> CheckPaperPage:
    known(program)
    page = checked(program, stamped_paper())
    assert page.found is not None
    assert page.found.head._ink is Role.ALDER
    return page
