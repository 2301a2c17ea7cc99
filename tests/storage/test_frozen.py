"""Stores as older versions wrote them open with this one, whole, by passphrase and by recovery sheet."""

from __future__ import annotations

import tarfile
from pathlib import Path

import pytest

from forms.answers import Quantity
from forms.people import InfantIdentity
from forms.weight import WeightReading
from storage.keys import read_words
from storage.vault import recover
from tests.helpers.stores import BABY, FAMILY, VISIT, opened

FROZEN = Path(__file__).resolve().parents[1] / "frozen"
VERSIONS = sorted(int(file.name.split(".")[0].removeprefix("store-")) for file in FROZEN.glob("store-*.tar.xz"))


@pytest.fixture(params=VERSIONS)
def frozen(request: pytest.FixtureRequest, tmp_path: Path) -> tuple[Path, str]:
    """A frozen store in a folder of its own, and its recovery words."""
    with tarfile.open(FROZEN / f"store-{request.param}.tar.xz") as packed:
        packed.extractall(tmp_path, filter="data")
    return tmp_path / "store", (FROZEN / f"store-{request.param}.recovery.txt").read_text().strip()


def test_a_frozen_store_opens_with_every_answer_and_nothing_wrong(frozen: tuple[Path, str]) -> None:
    store = opened(frozen[0])
    chart = store.chart(FAMILY, VISIT)
    assert chart.person(InfantIdentity, BABY).called_name == "Idå"
    (weight,) = chart.all(WeightReading)
    assert weight.answers.weight == Quantity("3120", "g", 3120)
    assert chart.signed(VISIT) is not None
    assert store.recheck(VISIT) == ()
    assert store.check() == ()
    store.close()
    again = opened(frozen[0])
    assert (again.told, again.check()) == ((), ())
    again.close()


def test_a_frozen_store_opens_by_its_recovery_sheet(frozen: tuple[Path, str]) -> None:
    assert len(read_words(frozen[1])) == 20
    store = recover(frozen[0], frozen[1], "a new sentence to unlock with")
    assert store.check() == ()
    store.close()
