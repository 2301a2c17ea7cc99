"""The page beside a saved paper is half a page, tells whom to ask, and what it tells to type does what it says."""

from __future__ import annotations

import re
import shlex
import subprocess
from collections.abc import Callable, Iterator
from pathlib import Path
from textwrap import wrap

import pytest

from forms.answers import Moment
from forms.ask import Paper
from forms.chart import Chart
from forms.closing import Closing
from forms.papers.family_plan import family_plan
from forms.phrases.english import ENGLISH
from forms.pictures.all import pictures
from storage.store import Store
from sync.handoff.how_to_check import WIDTH
from sync.handoff.leave import draw_paper, make_paper
from sync.handoff.letter import write_letter
from sync.handoff.saved import NotSaved, save_paper
from sync.handoff.seals import make_seals, root_fingerprint, seal_of
from sync.handoff.sign import Record, sign_letter
from tests.forms.papers.test_plan_in_spanish import worded
from tests.helpers import thornbury as t
from tests.helpers.papers import paper_text
from tests.helpers.receipts import billed, charge, code, payment
from tests.helpers.stores import new_store
from tests.sync.test_leave import written
from tests.sync.test_saved import reported

HALF_A_PAGE = 33  # a page of typewriter size has 66 lines
KINDS = [
    (Paper.FAMILY_PLAN, {}), (Paper.CALL_NOW, {}), (Paper.REFERRAL, {"referral": t.LETTER}),
    (Paper.REPORT, {"person": t.IDA}), (Paper.SUMMARY, {"person": t.IDA}),
]  # fmt: skip


@pytest.fixture(scope="module")
def store(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Store]:
    kept = new_store(tmp_path_factory.mktemp("guided") / "store").store
    written(kept, reported())
    make_seals(kept, t.WRITER, practice="Tallow Lane Feeding Visits", name="Rowan Vale", now=t.NOW)
    yield kept
    kept.close()


def made(store: Store, kind: Paper, **more: str) -> bytes:
    return make_paper(
        store, store.chart(t.FAMILY, t.VISIT), kind, author=t.WRITER, now=t.NOW, **more  # type: ignore[arg-type]
    )  # fmt: skip


@pytest.fixture(scope="module")
def unsealed(store: Store) -> bytes:
    return made(store, Paper.CALL_NOW)


@pytest.fixture(scope="module")
def signed(store: Store, unsealed: bytes) -> Store:
    assert unsealed
    store.sign(t.VISIT, author=t.WRITER)
    return store


@pytest.fixture(scope="module")
def letter(signed: Store) -> bytes:
    return made(signed, Paper.REFERRAL, referral=t.LETTER)


def guide(place: Path, paper: bytes) -> str:
    save_paper(place, paper)
    return place.with_name(f"{place.stem}.how-to-check.txt").read_text("utf-8")


def run_in(folder: Path, command: str) -> subprocess.CompletedProcess[str]:
    return subprocess.run(shlex.split(command), cwd=folder, capture_output=True, text=True, check=False)


def commands(words: str) -> list[str]:
    return [line for line in words.splitlines() if line.startswith("openssl ")]


@pytest.mark.parametrize("name", ["letter.pdf", "Ida’s letter, 3 March.pdf", "two words.pdf", "-odd.pdf"])
def test_the_commands_of_the_page_run_as_they_stand_and_refuse_a_changed_record(
    signed: Store, letter: bytes, tmp_path: Path, name: str
) -> None:
    words = guide(tmp_path / name, letter)
    shown, checked = commands(words)
    fingerprint = run_in(tmp_path, shown)
    assert fingerprint.returncode == 0, fingerprint.stderr
    digits = fingerprint.stdout.strip().rpartition("=")[2].replace(":", "")
    kept = root_fingerprint(signed)
    assert kept is not None
    assert digits == kept.replace(" ", "")
    assert kept == " ".join(" ".join(re.findall(r"^   ((?:[0-9A-F]{4} ?)+)$", words, re.MULTILINE)).split())
    done = run_in(tmp_path, checked)
    assert done.returncode == 0, done.stderr
    assert "successful" in done.stderr
    record = tmp_path / f"{Path(name).stem}.fhir.json"
    assert (tmp_path / f"{Path(name).stem}.checked.json").read_bytes() == record.read_bytes()
    record.write_bytes(record.read_bytes().replace(b"Thornbury", b"thornbury", 1))
    refused = run_in(tmp_path, checked)
    assert refused.returncode != 0
    assert "successful" not in refused.stderr


def test_a_record_signed_by_another_practice_is_refused_by_the_page_of_this_one(
    signed: Store, letter: bytes, tmp_path: Path
) -> None:
    from sync.handoff.detached import sign_beside
    from tests.sync.conftest import shelf_seal

    words = guide(tmp_path / "letter.pdf", letter)
    stranger = shelf_seal("Tallow Lane Feeding Visits", "Rowan Vale")  # the very same names, another key
    record = tmp_path / "letter.fhir.json"
    (tmp_path / "letter.fhir.json.p7s").write_bytes(sign_beside(record.read_bytes(), stranger))
    assert run_in(tmp_path, commands(words)[1]).returncode != 0


def test_the_page_is_half_a_page_says_whom_to_ask_and_that_the_print_proves_nothing(
    signed: Store, letter: bytes, tmp_path: Path
) -> None:
    for name, paper in (("letter.pdf", letter), ("plan.pdf", made(signed, Paper.FAMILY_PLAN))):
        words = guide(tmp_path / name, paper)
        read = words.partition("-----BEGIN CERTIFICATE-----")[0].splitlines()
        assert sum(len(wrap(line, WIDTH) or [""]) for line in read) <= HALF_A_PAGE
        assert all(len(line) <= WIDTH for line in words.splitlines() if not line.startswith("openssl "))
        flat = " ".join(words.split())
        assert "The file carries the seal, not the print." in flat
        assert "Whom to ask: Tallow Lane Feeding Visits, 555 0190" in flat
        assert f"open {name} and its signature panel" in flat
    assert commands(words) == []  # a plan has no record beside it


def test_the_page_of_a_paper_without_a_seal_says_so_and_claims_no_check(unsealed: bytes, tmp_path: Path) -> None:
    words = " ".join(guide(tmp_path / "now.pdf", unsealed).split())
    assert "This paper carries no seal" in words
    assert "fingerprint" not in words
    assert "openssl" not in words


def test_the_page_beside_a_locked_paper_gives_nothing_away_without_the_password(signed: Store, tmp_path: Path) -> None:
    drawn = write_letter(family_plan(t.whole(), writer=t.WRITER, now=t.NOW), made=t.NOW, sealed=True)
    seal, record = seal_of(signed, t.WRITER, name="Rowan Vale", now=t.NOW), Record("a.txt", "text/plain", b"words")
    password = "harbour-velvet-spoon-walnut-lamp"
    locked = sign_letter(
        drawn, seal, at=Moment(t.NOW, t.ZONE), who="Rowan Vale, RN", record=record, contact="Tallow Lane, 555 0190",
        password=password,
    )  # fmt: skip
    words = guide(tmp_path / "plan.pdf", locked)
    assert "locked with a password" in words
    assert "Rowan" not in words
    assert "Tallow" not in words
    save_paper(tmp_path / "plan.pdf", locked, password)
    told = (tmp_path / "plan.how-to-check.txt").read_text("utf-8")
    assert "Whom to ask: Tallow Lane, 555 0190" in told
    assert password not in told


def test_another_file_of_the_pages_name_is_not_replaced_and_nothing_is_written(letter: bytes, tmp_path: Path) -> None:
    (tmp_path / "letter.how-to-check.txt").write_text("mine")
    with pytest.raises(NotSaved, match=r"letter\.how-to-check\.txt is there already"):
        save_paper(tmp_path / "letter.pdf", letter)
    assert [path.name for path in tmp_path.iterdir()] == ["letter.how-to-check.txt"]


def test_the_page_goes_with_its_paper_when_another_is_saved_over_it(signed: Store, tmp_path: Path) -> None:
    first = guide(tmp_path / "now.pdf", made(signed, Paper.FAMILY_PLAN))
    second = guide(tmp_path / "now.pdf", made(signed, Paper.CALL_NOW))
    assert first != second
    save_paper(tmp_path / "now.pdf", b"no paper at all")
    assert [path.name for path in tmp_path.iterdir()] == ["now.pdf"]


def _closed(chart: Chart) -> Chart:
    return chart.with_entry(
        t.entry(Closing, named="ends", visit=None, reason="goal_met", covers=(t.MARA, t.IDA), goal_words="Met.")
    )


def _billed(_chart: Chart) -> Chart:
    return billed(code("a", "P92.5"), charge("one", "120", 2), payment("paid", "240"))


def _as_it_is(chart: Chart) -> Chart:
    return chart


@pytest.mark.parametrize(
    ("kind", "more", "change"),
    [*((kind, more, _as_it_is) for kind, more in KINDS), (Paper.CLOSING, {"person": t.IDA}, _closed),
     (Paper.RECEIPT, {"person": t.IDA}, _billed)],
)  # fmt: skip
def test_each_paper_says_that_the_file_carries_the_seal_and_prints_whom_to_ask(
    signed: Store, kind: Paper, more: dict[str, str], change: Callable[[Chart], Chart], tmp_path: Path
) -> None:
    place, chart = tmp_path / "paper.pdf", change(signed.chart(t.FAMILY, t.VISIT))
    place.write_bytes(draw_paper(chart, kind, author=t.WRITER, now=t.NOW, **more))  # type: ignore[arg-type]
    words = paper_text(place)
    assert "The file, not the print, carries the seal: ask how to check it." in words
    assert "555 0190" in words


def test_a_picture_for_the_record_says_it_too(signed: Store, tmp_path: Path) -> None:
    chart, place = signed.chart(t.FAMILY, t.VISIT), tmp_path / "picture.pdf"
    picture = (t.IDA, pictures(chart, t.IDA, t.NOW)[0].key)
    place.write_bytes(draw_paper(chart, Paper.SUMMARY, author=t.WRITER, now=t.NOW, picture=picture))
    assert "The file, not the print, carries the seal: ask how to check it." in paper_text(place)


def _in_spanish(store: Store, *, sealed: bool = True, password: str | None = None) -> bytes:
    """A family's plan in Spanish, as it leaves."""
    drawn = write_letter(
        family_plan(worded(), writer=t.WRITER, now=t.NOW, language="es"), made=t.NOW, sealed=sealed
    )  # fmt: skip
    if not sealed:
        return drawn
    return sign_letter(
        drawn, seal_of(store, t.WRITER, name="Rowan Vale", now=t.NOW), at=Moment(t.NOW, t.ZONE), who="Rowan Vale, RN",
        record=Record("plan.txt", "text/plain", b"words"), language="es", contact="Tallow Lane, 555 0190",
        password=password,
    )  # fmt: skip


@pytest.mark.parametrize("password", [None, "harbor-velvet-spoon-lamp"])
def test_beside_a_plan_in_spanish_lies_a_page_in_spanish_that_says_nobody_reviewed_its_words(
    signed: Store, tmp_path: Path, password: str | None
) -> None:
    save_paper(tmp_path / "plan.pdf", _in_spanish(signed, password=password), password)
    words = (tmp_path / "plan.how-to-check.txt").read_text("utf-8")
    lines, flat = words.splitlines(), " ".join(words.split())
    assert len(lines) <= HALF_A_PAGE
    assert all(len(line) <= WIDTH for line in lines)
    assert lines[0] == "Cómo comprobar plan.pdf"
    for said in (
        "El sello está en el archivo, no en la impresión.", "A quién preguntar: Tallow Lane, 555 0190",
        "abra plan.pdf y su panel de firmas", "comparar esta huella SHA-256 del certificado raíz de la consulta",
        "SHA-256 del archivo del que trata esta página:", "aún no lo ha revisado un profesional",
        "This Spanish wording is not yet reviewed",
    ):  # fmt: skip
        assert said in flat, said
    english = [ENGLISH.sentences[key].text.split(".")[0] for key in ENGLISH.sentences if key.startswith("check.")]
    assert not any(one in flat for one in english)
    kept = root_fingerprint(signed)
    assert kept is not None
    assert kept in flat


def test_a_spanish_plan_without_a_seal_says_so_in_spanish_and_its_page_goes_with_it(
    signed: Store, tmp_path: Path
) -> None:
    words = " ".join(guide(tmp_path / "plan.pdf", _in_spanish(signed, sealed=False)).split())
    assert "Este papel no lleva sello" in words
    save_paper(tmp_path / "plan.pdf", b"no paper at all")  # what lay beside was this very plan's, in whatever language
    assert [path.name for path in tmp_path.iterdir()] == ["plan.pdf"]


def test_the_page_of_an_english_paper_says_nothing_of_a_review(letter: bytes, tmp_path: Path) -> None:
    assert "reviewed" not in guide(tmp_path / "letter.pdf", letter)
