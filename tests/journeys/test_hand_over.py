"""A family changes its practice: a sealed paper of the first one, read and taken over at the window of the second."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest
from cryptography.x509 import load_der_x509_certificate
from PySide6.QtWidgets import QAbstractButton

from demo_db.build import PASSPHRASE
from demo_db.ticking import at
from desktop.pages.received_rows import FactRow
from forms.answers import Moment, Quantity
from forms.ask import Paper
from forms.ask import Path as At
from forms.chart import Chart
from forms.consent import Release
from forms.infant_history import InfantHistory
from forms.known_sender import KnownSender
from forms.papers.referral import NoRelease
from forms.people import InfantIdentity
from forms.received import ReceivedFact
from forms.referral import PaperIssued
from forms.weight import WeightReading
from storage.changes import Put
from sync.handoff.verify import fingerprint
from tests.helpers.charting import Charter
from tests.helpers.person import Machine
from tests.helpers.second_practice import DAY, Second, handed_over, second_practice

NAME = "Tallow Lane, compared with Rowan Vale"
Sent = tuple[Path, bytes]


@pytest.fixture(scope="module")
def sent(tmp_path_factory: pytest.TempPathFactory) -> Sent:
    """The first practice's summary of Ida as a file, and the root whose fingerprint it reads out on the phone."""
    here = tmp_path_factory.mktemp("first")
    papers, root = handed_over(here / "store")
    assert load_der_x509_certificate(root)
    (here / "ida.pdf").write_bytes(papers[Paper.SUMMARY])
    return here / "ida.pdf", root


@pytest.fixture
def there(tmp_path: Path, machine: Machine, sit_down: Callable[[Path], Charter]) -> Charter:
    """At the second practice's window, Ida's first visit there begun."""
    made = second_practice(tmp_path / "store")
    made.store.close()
    machine.at = at(f"{DAY} 10:00")
    person = sit_down(tmp_path / "store")
    person.unlock(PASSPHRASE)
    return person


def to_family(person: Charter) -> None:
    person.program.gate.desk.family(family_of(person))  # type: ignore[union-attr]
    person.until_page("family")
    person.until_idle()


def family_of(person: Charter) -> str:
    store = person.program.gate.session.lane  # type: ignore[union-attr]
    found: list[str] = []
    store.run(lambda one: one.search("thornquist")[0].id, found.append)
    person.until(lambda: found, "the family")
    return found[0]


def chart_of(person: Charter) -> Chart:
    family, found = family_of(person), list[Chart]()
    person.program.gate.session.lane.run(lambda one: one.chart(family), found.append)  # type: ignore[union-attr]
    person.until(lambda: found, "the chart")
    return found[0]


def open_paper(person: Charter, place: Path) -> None:
    """From the family's page, to the page of what was received, and open a file there by the dialog."""
    to_family(person)
    person.press("Open a letter or a filled sheet")
    person.until_page("received")
    person.pick_file(lambda: person.press("Choose a file"), place)
    person.until_sees("In the file: ")


def compare(person: Charter, place: Path, told: str) -> None:
    """On the practice's page: check the paper, compare each line with what is read out, and name the sender."""
    person.press("Back to the family")
    person.until_page("family")
    person.press("Families")
    person.until_page("caseload")
    person.press("Practice")
    person.until_page("practice")
    person.press("Check a paper")
    person.until_page("check_paper")
    person.pick_file(lambda: person.press("Choose a file"), place)
    person.press("Add to known senders")
    person.until_sees("Compare the whole fingerprint")
    bare = told.replace(" ", "").replace(":", "").lower()
    lines = [one for one in person.window.findChildren(QAbstractButton) if one.isVisible() and one.isCheckable()]
    compared = [one for one in lines if (text := one.text().replace(" ", "").lower()) and text in bare]
    assert "".join(one.text().replace(" ", "").lower() for one in compared) == bare
    for one in compared:
        person.click(one)
    person.press("By phone, on a number not from the paper")
    person.write("Your name for this sender", NAME)
    person.press("Add this sender")
    person.until_sees(f"Unchanged, from {NAME}")


def row(person: Charter, words: str) -> FactRow:
    """The one row on screen with these words, after as many more as it takes."""

    def found() -> list[FactRow]:
        rows = person.window.findChildren(FactRow)
        return [one for one in rows if one.isVisible() and one.words.said().startswith(words)]

    while not found():
        more = [
            one for one in person.window.findChildren(QAbstractButton) if one.isVisible() and "Show more" in one.text()
        ]
        assert more, [one.words.said() for one in person.window.findChildren(FactRow) if "eight" in one.words.said()]
        person.click(more[0])
    return found()[0]


def test_a_paper_is_compared_and_three_of_its_facts_are_taken_while_what_stands_here_stays(
    there: Charter, sent: Sent
) -> None:
    place, root = sent
    before = chart_of(there)
    open_paper(there, place)
    assert there.sees("the sender is not known here")
    assert there.sees(f"Fingerprint: {fingerprint(root)}")
    assert not there.sees("It says nothing in words.")
    compare(there, place, fingerprint(root))
    open_paper(there, place)
    assert there.sees("Unchanged since it was sealed, and the sender is known here.")
    there.press("Idchen")

    weight = row(there, "Birth weight:")
    assert weight.state.said().startswith("Here stands: 2,300 g")
    assert weight.beside.isVisible()
    there.click(weight.beside)
    there.until(lambda: weight.state.said() == "Taken, in the sender’s words.", "the conflict to be kept beside")
    assert row(there, "Legal name:").state.said() == "Stands in the chart already, the same."
    taken = row(there, "Weight: 2,680 g")
    there.click(taken.take)
    there.until(lambda: taken.state.said() == "Taken.", "the weight to be taken")
    assert "Iron drops since last week" in row(there, "Medicines").state.said()
    told = row(there, "Operations")
    there.click(told.take)
    there.until(lambda: told.state.said() == "Taken.", "the answer to be taken")
    left = row(there, "Kind of visit")
    there.click(left.leave)
    assert left.state.said() == "Left in the file."

    after = chart_of(there)
    ida = next(entry for entry in after.all(InfantIdentity))
    assert isinstance(ida.answers.birth_weight, Quantity)
    assert ida.answers.birth_weight.base == 2300
    (fact,) = after.all(ReceivedFact, ida.id)
    assert (fact.answers.what, fact.answers.unit) == ("Birth weight", "g")
    assert len(after.all(WeightReading, ida.id)) == len(before.all(WeightReading, ida.id)) + 1
    (history,) = after.all(InfantHistory, ida.id)
    assert history.answers.medicines == "Iron drops since last week"
    assert history.answers.operations is not None
    (sender,) = after.all(KnownSender)
    assert sender.answers.called == NAME

    to_family(there)
    there.until_sees("1 file is kept.")
    there.press("Open a letter or a filled sheet")
    there.until_page("received")
    there.press("ida.pdf")
    there.until_sees("the sender is known here")
    there.press("Idchen")
    assert row(there, "Weight: 2,680 g").state.said() == "Stands in the chart already, the same."
    assert row(there, "Birth weight:").state.said() == "Kept in the sender’s words."


def test_nothing_can_be_taken_from_a_paper_that_was_changed_on_its_way(
    there: Charter, sent: Sent, tmp_path: Path
) -> None:
    changed = tmp_path / "ida.pdf"
    changed.write_bytes(sent[0].read_bytes() + b"\n% a line more\n")
    before = chart_of(there)
    open_paper(there, changed)
    assert there.sees("Changed since it was sealed. Nothing can be taken from it; ask the sender for it again.")
    there.press("Idchen")
    shown = row(there, "Birth weight:")
    assert not any(key.isVisible() for key in (shown.take, shown.beside, shown.leave))
    assert chart_of(there).entries == before.entries


def withdrawn(folder: Path, *, sign: bool) -> Second:
    """The second practice once Mara took back that a report goes to the doctor."""
    second = second_practice(folder)
    if sign:
        second.store.sign(second.visit, author=second.author)
    release = next(entry.id for entry in second.store.chart(second.family).all(Release))
    at_once = Moment(second.clock(), "America/New_York")
    second.store.write([Put(release, At("withdrawn_at"), at_once)], author=second.author)
    return second


def test_a_release_that_was_withdrawn_keeps_the_paper_from_being_made_and_the_page_says_where_to_go(
    tmp_path: Path, machine: Machine, sit_down: Callable[[Path], Charter]
) -> None:
    withdrawn(tmp_path / "store", sign=False).store.close()
    machine.at = at(f"{DAY} 10:00")
    person = sit_down(tmp_path / "store")
    person.unlock(PASSPHRASE)
    person.press("Go on")
    person.until_page("visit")
    person.until_idle()
    person.section("leave.papers")
    person.press("Report to provider")
    person.until_sees("There is no release to Dr Ansel Corrigan")
    assert person.buttons("Go to the releases")
    assert not any(key.isEnabled() for words in ("Print", "Save as a file") for key in person.buttons(words))
    person.press("Visit summary")
    person.until_sees("A summary holds only what is signed")


def test_no_paper_is_filed_or_written_down_under_a_release_that_was_withdrawn(tmp_path: Path) -> None:
    second = withdrawn(tmp_path / "store", sign=True)
    assert second.paper(Paper.SUMMARY)
    issued, kept = (
        second.store.chart(second.family, second.visit).all(PaperIssued),
        second.store.exchange().attachments(),
    )
    with pytest.raises(NoRelease):
        second.paper(Paper.REPORT)
    assert second.store.chart(second.family, second.visit).all(PaperIssued) == issued
    assert second.store.exchange().attachments() == kept
    assert second.store.check() == ()
    second.store.close()
