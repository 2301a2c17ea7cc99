"""The main job without a window, as the README's first line runs it: what it writes, where, and what others say of it."""

from __future__ import annotations

import json
import os
import re
import shutil
import subprocess
import sys
import unicodedata
from collections.abc import Iterator
from pathlib import Path

import pytest

from demo_db.build import PASSPHRASE
from demo_db.given_out import PASSWORD
from forms.chart import Chart
from forms.people import Family
from storage.vault import unlock
from tests.helpers.marks import found_in, inside_pdf, marks_of

ROOT = Path(__file__).resolve().parents[2]
NO_WINDOW = (
    "import sys\n"
    "class Block:\n"
    "    def find_spec(self, name, path=None, target=None):\n"
    "        if name.split('.')[0] in ('PySide6', 'shiboken6'):\n"
    "            raise ImportError('there is no window library here: ' + name)\n"
    "sys.meta_path.insert(0, Block())\n"
    "from desktop.command import main\n"
    "main(sys.argv[1:])\n"
)
KINDS = ("-plan", "-plan-es", "-plan-large-en", "-plan-large-es", "-report-", "-summary-", "-referral", "-receipt",
         "-closing", "-call-now")  # fmt: skip
UNFINISHED = "finch-adeyemi"
"""The family whose note waits for a call: nothing of it is signed, so none of its papers is sealed."""
CREATES = re.compile(r'(?:openat\(AT_FDCWD|open\(|creat\(|mkdir\(|rename\(|link\(|symlink\()[^"]*"([^"]+)"(.*)')


def hearthside(*arguments: object, stdin: str = "", before: tuple[str, ...] = ()) -> subprocess.CompletedProcess[str]:
    """The command line in a process of its own that cannot import the window's library."""
    return subprocess.run(
        [*before, sys.executable, "-c", NO_WINDOW, *map(str, arguments)],
        cwd=ROOT,
        input=stdin,
        capture_output=True,
        text=True,
        check=False,
        env={**os.environ, "PYTHONDONTWRITEBYTECODE": "1"},
    )


@pytest.fixture(scope="module")
def traced(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, str, str]:
    """The demo run once under a trace: its folder, what it printed, and the trace."""
    here = tmp_path_factory.mktemp("job")
    trace = here / "trace"
    done = hearthside(
        "demo", "--no-window", "--out", here / "out",
        before=("strace", "-f", "-qq", "-e", "trace=open,openat,creat,mkdir,rename,link,symlink", "-o", str(trace)),
    )  # fmt: skip
    assert done.returncode == 0, done.stderr
    return here / "out", done.stdout, trace.read_text(errors="replace")


@pytest.fixture(scope="module")
def out(traced: tuple[Path, str, str]) -> Path:
    return traced[0]


@pytest.fixture(scope="module")
def charts(out: Path) -> Iterator[tuple[Chart, ...]]:
    copy = out.parent / "opened"
    shutil.copytree(out / "stores" / "laptop", copy)
    store = unlock(copy, PASSPHRASE)
    yield tuple(store.chart(line.id) for line in store.caseload())
    store.close()


def papers(out: Path) -> tuple[Path, ...]:
    return tuple(sorted((out / "papers").glob("*.pdf")))


def test_it_prints_every_path_it_wrote_and_the_invented_passphrase(traced: tuple[Path, str, str]) -> None:
    out, printed, _ = traced
    assert PASSPHRASE in printed
    for paper in papers(out):
        assert str(paper) in printed
    assert str(out / "stores" / "laptop") in printed
    assert "second device" in printed


def test_a_record_given_out_lies_in_others_and_opens_with_the_printed_password_alone(
    traced: tuple[Path, str, str], tmp_path: Path
) -> None:
    out, printed, _ = traced
    assert PASSWORD in printed
    package = out / "others" / "lindqvist-osei-package.pdf"
    assert str(package) in printed
    command = ["pdfdetach", "-saveall", "-o", str(tmp_path), str(package)]
    assert subprocess.run(command, capture_output=True, check=False).returncode != 0
    assert list(tmp_path.iterdir()) == []
    opened = subprocess.run([*command[:1], "-upw", PASSWORD, *command[1:]], capture_output=True, check=False)
    assert opened.returncode == 0, opened.stderr
    held = {one.name for one in tmp_path.iterdir()}
    assert {"01-summary-2026-03-02.pdf", "01-summary-2026-03-02.fhir.json", "tables-answers.csv"} < held
    seal = subprocess.run(["pdfsig", "-upw", PASSWORD, str(package)], capture_output=True, text=True, check=False)
    assert "Signature is Valid." in seal.stdout


def test_the_practices_figures_and_the_sheet_for_before_a_visit_are_files_too(
    traced: tuple[Path, str, str],
) -> None:
    out, printed, _ = traced
    figures, sheet = out / "others" / "practice-figures-2026.pdf", out / "others" / "before-the-visit.pdf"
    for one in (figures, sheet):
        assert str(one) in printed
    assert hearthside("verify", figures).returncode == 0
    shown = subprocess.run(["pdfinfo", str(sheet)], capture_output=True, text=True, check=True).stdout
    assert re.search("Form: +AcroForm", shown)


def test_every_kind_of_paper_is_written_and_the_open_record_lies_beside_those_for_others(out: Path) -> None:
    names = [paper.stem for paper in papers(out)]
    for kind in KINDS:
        assert any(kind in name for name in names), kind
    beside = {paper.stem for paper in papers(out) if paper.with_suffix(".fhir.json").exists()}
    for_others = {name for name in names if re.search("-(report|summary|referral)", name)}
    assert beside == {name for name in for_others if UNFINISHED not in name}
    for name in beside:
        assert (out / "papers" / f"{name}.fhir.json.p7s").exists(), name


def test_each_signed_family_has_a_plan_a_report_and_a_summary(out: Path, charts: tuple[Chart, ...]) -> None:
    names = [paper.stem for paper in papers(out)]
    for chart in charts:
        own = [name for name in names if _family_name(chart) in name]
        kinds = ("call-now", "report") if UNFINISHED in own[0] else ("plan", "report", "summary")
        for kind in kinds:
            assert any(kind in name for name in own), (own, kind)


def test_an_independent_checker_finds_each_signature_valid_over_the_whole_document(out: Path) -> None:
    for paper in papers(out):
        said = subprocess.run(["pdfsig", str(paper)], capture_output=True, text=True, check=False).stdout
        if UNFINISHED in paper.name:
            assert "Signature #1" not in said, paper.name
            continue
        assert "Signature is Valid." in said, paper.name
        assert "Total document signed" in said, paper.name


def test_a_paper_without_a_seal_says_that_the_note_was_not_finished(out: Path) -> None:
    unsealed = [paper for paper in papers(out) if UNFINISHED in paper.name]
    assert len(unsealed) == 2
    for paper in unsealed:
        told = subprocess.run(["pdftotext", str(paper), "-"], capture_output=True, text=True, check=True).stdout
        assert re.search("Given before the note was finished|Written before the note was signed", told), paper.name


def test_no_font_is_left_unembedded(out: Path) -> None:
    for paper in papers(out):
        rows = subprocess.run(["pdffonts", str(paper)], capture_output=True, text=True, check=True).stdout.splitlines()
        fonts = rows[2:]
        assert fonts
        for font in fonts:
            assert font.split()[-5] == "yes", f"{paper.name}: {font}"
            assert "Helvetica" not in font


def test_verify_says_good_of_what_was_written_and_bad_of_a_flipped_byte_or_an_appended_update(
    out: Path, tmp_path: Path
) -> None:
    paper = next(one for one in papers(out) if "plan" in one.name)
    good = hearthside("verify", paper, "--json")
    assert good.returncode == 0, good.stdout + good.stderr
    assert json.loads(good.stdout)
    data = bytearray(paper.read_bytes())
    data[len(data) // 3] ^= 1
    flipped = tmp_path / "flipped.pdf"
    flipped.write_bytes(data)
    assert hearthside("verify", flipped).returncode == 1
    appended = tmp_path / "appended.pdf"
    appended.write_bytes(paper.read_bytes() + b"\n% one more line\n")
    assert hearthside("verify", appended).returncode == 1


def test_verify_says_in_one_sentence_that_a_file_is_no_paper(tmp_path: Path) -> None:
    text = tmp_path / "notes.pdf"
    text.write_text("not a paper")
    for wrong in (text, tmp_path / "missing.pdf"):
        done = hearthside("verify", wrong)
        assert done.returncode == 2
        assert len(done.stderr.strip().splitlines()) == 1
        assert "Traceback" not in done.stderr


def test_open_check_finds_nothing_wrong_and_refuses_what_is_no_store_before_asking(out: Path, tmp_path: Path) -> None:
    copy = tmp_path / "copy"
    shutil.copytree(out / "stores" / "laptop", copy)
    good = hearthside("open-check", copy, "--passphrase-stdin", stdin=PASSPHRASE + "\n")
    assert good.returncode == 0, good.stdout + good.stderr
    assert hearthside("open-check", copy, "--passphrase-stdin", stdin="quite another phrase\n").returncode == 2
    paper = papers(out)[0]
    no_store = hearthside("open-check", paper)
    assert no_store.returncode == 2
    assert "Passphrase" not in no_store.stdout + no_store.stderr


def test_a_folder_that_holds_something_is_refused_and_left_alone(out: Path, tmp_path: Path) -> None:
    (tmp_path / "mine.txt").write_text("mine")
    done = hearthside("demo", "--no-window", "--out", tmp_path)
    assert done.returncode == 2
    assert [p.name for p in tmp_path.iterdir()] == ["mine.txt"]


def test_an_unknown_command_is_refused_with_exit_2() -> None:
    for word in ("sync", "backup", "nonsense"):
        assert hearthside(word).returncode == 2


def test_no_file_is_made_outside_the_folder_named(traced: tuple[Path, str, str]) -> None:
    out, _, trace = traced
    outside = []
    for line in trace.splitlines():
        made = CREATES.search(line)
        if made is None or " = -1 " in line:
            continue
        path, rest = made.groups()
        opening = "open" in line.split("(")[0]
        if opening and not re.search(r"O_CREAT|O_WRONLY|O_RDWR", rest):
            continue
        if not path.startswith((str(out), "/dev/")) and not (ROOT / path).is_relative_to(out):
            outside.append(line)
    assert outside == []


def test_no_file_of_the_store_shows_a_name_a_weight_or_a_note(out: Path, charts: tuple[Chart, ...]) -> None:
    marks = frozenset().union(*(marks_of(chart) for chart in charts))
    assert len(marks) > 100
    for file in (out / "stores").rglob("*"):
        if file.is_file():
            assert list(found_in(file.read_bytes(), marks)) == [], file.name


def test_no_paper_shows_anything_of_another_family(out: Path, charts: tuple[Chart, ...]) -> None:
    for paper in papers(out):
        inside = inside_pdf(paper)
        own = next(chart for chart in charts if _family_name(chart) in paper.name)
        said = marks_of(own)
        assert list(found_in(inside, said))
        for other in charts:
            if other is not own:
                foreign = (mark for mark in marks_of(other) - _common(charts) if not _names_nobody(mark, said))
                assert list(found_in(inside, foreign)) == [], paper.name


def _names_nobody(mark: str, said: frozenset[str]) -> bool:
    """A length of time, or words this family says too as part of longer ones ("Armchair" by the window)."""
    return re.fullmatch(r"[\d.]+ (min|h)", mark) is not None or any(mark in words for words in said)


def _family_name(chart: Chart) -> str:
    """As a file is named: small letters without accents."""
    name = unicodedata.normalize("NFKD", str(chart.person(Family, chart.family).family_name))
    return "".join(c for c in name if not unicodedata.combining(c)).lower()


def _common(charts: tuple[Chart, ...]) -> frozenset[str]:
    """What more than one family says in the same words, so that it names none of them."""
    each = [marks_of(chart) for chart in charts]
    return frozenset(word for words in each for word in words if sum(word in other for other in each) > 1)


def test_a_planted_leak_is_found(out: Path, charts: tuple[Chart, ...], tmp_path: Path) -> None:
    marks = frozenset().union(*(marks_of(chart) for chart in charts))
    for code in ("utf-8", "utf-16-le", "utf-16-be"):
        planted = tmp_path / "planted"
        planted.write_bytes(b"\0\1" + "Kemi Finch-Adeyemi".encode(code) + b"\2")
        assert list(found_in(planted.read_bytes(), marks))


def test_registers_and_projections_are_what_the_log_rebuilds(out: Path, tmp_path: Path) -> None:
    copy = tmp_path / "copy"
    shutil.copytree(out / "stores" / "laptop", copy)
    store = unlock(copy, PASSPHRASE)
    try:
        before = [(line.id, store.chart(line.id)) for line in store.caseload()]
        assert store.differences() == ()
        store.rebuild()
        assert [(line.id, store.chart(line.id)) for line in store.caseload()] == before
        assert store.check() == ()
    finally:
        store.close()
