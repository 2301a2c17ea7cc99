"""The plan in two languages, two sizes of type and two sizes of paper, as another program reads the pages."""

from __future__ import annotations

import re
import shutil
from collections.abc import Iterator
from io import BytesIO
from pathlib import Path

import pikepdf
import pytest

from demo_db.build import PASSPHRASE, chart_all, new_store
from demo_db.ticking import at
from forms.chart import Chart, entry_id
from forms.papers.family_plan import family_plan
from forms.practice import Practice, Practitioner
from storage.vault import unlock
from sync.handoff.letter import write_letter
from tests.helpers import thornbury as t
from tests.sync.conftest import Read

NOW = at("2026-02-28 15:50")
EDITIONS = [(size, large) for size in ("letter", "a4") for large in (False, True)]


@pytest.fixture(scope="module")
def family(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Chart]:
    """The invented family that speaks Spanish, at its signed visit."""
    folder = tmp_path_factory.mktemp("twins")
    store, clock, ids = new_store(folder / "store")
    charted = chart_all(store, clock, ids)
    store.sign(charted.andres_visit, author=charted.author)
    store.close()
    again = unlock(Path(shutil.copytree(folder / "store", folder / "copy")), PASSPHRASE)
    yield again.chart(charted.andres.family, charted.andres_visit)
    again.close()


def drawn(chart: Chart, language: str, size: str, *, large: bool) -> bytes:
    writer = chart.all(Practitioner)[0].id
    sized = t.changed(chart, entry_id(Practice), paper_size=size)
    outline = family_plan(sized, writer=writer, now=NOW, language=language, large=large)
    return write_letter(outline, made=NOW, sealed=True)


def figures(read: Read, made: bytes) -> list[str]:
    """Every figure of a paper in the order in which its structure is read out; page numbers are no part of it."""
    told = " ".join(re.findall(r'"(.*)"', read(made, "pdfinfo", "-struct-text", "FILE")))
    return re.findall(r"\d[\d.,:]*\d|\d", told)


@pytest.mark.parametrize(("size", "large"), EDITIONS)
def test_both_languages_carry_the_same_figures_in_the_same_order_on_at_most_two_pages(
    family: Chart, size: str, large: bool, read: Read
) -> None:
    papers = {tag: drawn(family, tag, size, large=large) for tag in ("en", "es")}
    found = {tag: figures(read, made) for tag, made in papers.items()}
    assert found["en"] == found["es"]
    assert len(found["es"]) > 40
    assert {"30", "1", "4", "120", "911", "988"} <= set(found["es"])
    for made in papers.values():
        with pikepdf.open(BytesIO(made)) as pdf:
            assert len(pdf.pages) <= 2


@pytest.mark.parametrize("large", [False, True])
def test_body_type_is_fourteen_points_and_never_below_sixteen_in_the_large_edition(family: Chart, large: bool) -> None:
    used: dict[float, int] = {}
    with pikepdf.open(BytesIO(drawn(family, "es", "letter", large=large))) as pdf:
        for page in pdf.pages:
            size = 0.0
            for part in pikepdf.parse_content_stream(page):
                if str(part.operator) == "Tf":
                    size = float(part.operands[1])
                elif str(part.operator) == "Tj":
                    used[size] = used.get(size, 0) + len(bytes(part.operands[0]))
    most = max(used, key=lambda one: used[one])
    assert most >= 16 if large else most == 14
    assert min(used) >= 8.5


def test_the_spanish_paper_states_its_language_and_title_and_embeds_every_letter(family: Chart, read: Read) -> None:
    made = drawn(family, "es", "letter", large=False)
    with pikepdf.open(BytesIO(made)) as pdf:
        assert str(pdf.Root.Lang) == "es"
        assert bool(pdf.Root.ViewerPreferences.DisplayDocTitle)
        alts = [str(o.Alt) for o in pdf.objects if isinstance(o, pikepdf.Dictionary) and o.get("/S") == "/Figure"]
    assert alts == ["8 tomas de la mañana a la noche", "4 vasitos"]
    assert "Title:           Nuestro plan para Andrés" in read(made, "pdfinfo")
    assert re.search(r"Tagged:\s+yes", read(made, "pdfinfo"))
    rows = read(made, "pdffonts").splitlines()[2:]
    assert rows
    assert all(re.search(r"\byes\s+yes\s+yes\b", row) for row in rows)
    text = read(made, "pdftotext", "FILE", "-")
    for words in ("mañana", "noche", "página", "Lucía", "Llame ahora si…"):
        assert words in text


def test_nothing_on_the_paper_says_its_meaning_by_colour(family: Chart) -> None:
    with pikepdf.open(BytesIO(drawn(family, "es", "letter", large=False))) as pdf:
        for page in pdf.pages:
            for part in pikepdf.parse_content_stream(page):
                if str(part.operator) in ("rg", "RG"):
                    assert len({float(one) for one in part.operands}) == 1
                assert str(part.operator) not in ("k", "K", "sc", "SC", "scn", "SCN")
