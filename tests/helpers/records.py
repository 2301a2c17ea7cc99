"""Open records for tests: those of the invented families, and independent readers in environments of their own."""

from __future__ import annotations

import json
import subprocess
from collections.abc import Sequence
from pathlib import Path
from typing import Any

import pytest
from cryptography.hazmat.primitives.serialization import Encoding
from cryptography.hazmat.primitives.serialization.pkcs7 import load_der_pkcs7_certificates
from cryptography.x509 import load_der_x509_certificate

from forms.ask import Paper
from forms.chart import Chart
from sync.handoff.document import record_bytes, visit_bundle
from tests.helpers import thornbury as t

__all__ = ["carried_inside", "google_fhir", "letter_record", "openssl_takes", "pyrofile", "record", "written_to"]

ROOT = Path(__file__).resolve().parents[2]
VALIDATORS = ROOT / ".venv" / "validators"
SCRIPTS = ROOT / "tests" / "validators"


def record(chart: Chart, paper: Paper, *about: str, referral: str = "") -> dict[str, Any]:
    """The document of a paper of the family at Tallow Lane."""
    return visit_bundle(chart, paper=paper, writer=t.WRITER, now=t.NOW, about=about, referral=referral)


def letter_record(chart: Chart) -> dict[str, Any]:
    """The document of the letter about Ida."""
    return record(chart, Paper.REFERRAL, referral=t.LETTER)


def _python(name: str) -> Path:
    found = VALIDATORS / name / "bin" / "python"
    if not found.exists():
        pytest.fail(f"The environment of {name} is missing; run python3 .ci/setup.py --tests.")
    return found


def _read_by(name: str, script: str, files: Sequence[Path], *more: str) -> list[list[str]]:
    """What a reader complains of, for each file; () where it takes it."""
    done = subprocess.run(
        [str(_python(name)), str(SCRIPTS / script), *more],
        input="\n".join(map(str, files)), capture_output=True, text=True, check=True, timeout=280,
    )  # fmt: skip
    found: list[list[str]] = json.loads(done.stdout)
    assert len(found) == len(files)
    return found


def google_fhir(files: Sequence[Path]) -> list[list[str]]:
    """Google's reader of R4 by protocol buffers."""
    return _read_by("google-fhir", "google_fhir.py", files)


def _definitions() -> Path:
    """HL7's own R4 package, as it lies in the other reader's distribution."""
    found = sorted(
        (VALIDATORS / "google-fhir").glob("lib/python*/site-packages/google/fhir/r4/data/hl7.fhir.r4.core.tgz")
    )
    assert found, "the definitions of R4 are not there"
    return found[0]


def pyrofile(files: Sequence[Path]) -> list[list[str]]:
    """Pyrofile with HL7's definitions, value sets and rules."""
    return _read_by("pyrofile", "pyrofile.py", files, str(_definitions()))


def written_to(folder: Path, bundles: dict[str, Any]) -> list[Path]:
    """Bundles as files, in their order."""
    paths = []
    for name, bundle in bundles.items():
        path = folder / f"{name}.json"
        path.write_bytes(record_bytes(bundle))
        paths.append(path)
    return paths


def carried_inside(paper: bytes, folder: Path) -> dict[str, bytes]:
    """The files inside a paper, by name, as pdfdetach takes them out into an empty folder."""
    folder.mkdir()
    (folder.parent / f"{folder.name}.pdf").write_bytes(paper)
    command = ["pdfdetach", "-saveall", "-o", str(folder), str(folder.parent / f"{folder.name}.pdf")]
    subprocess.run(command, check=True, capture_output=True)
    return {path.name: path.read_bytes() for path in folder.iterdir()}


def openssl_takes(data: bytes, signature: bytes, folder: Path, root: bytes = b"") -> bool:
    """Whether openssl finds the detached signature true of these bytes, under this root (DER) or the one inside it."""
    if root:
        trusted = load_der_x509_certificate(root)
    else:
        (trusted,) = (one for one in load_der_pkcs7_certificates(signature) if one.issuer == one.subject)
    for name, content in (("data", data), ("p7s", signature), ("root.pem", trusted.public_bytes(Encoding.PEM))):
        (folder / name).write_bytes(content)
    command = [
        "openssl", "cms", "-verify", "-binary", "-inform", "DER", "-in", "p7s", "-content", "data",
        "-CAfile", "root.pem", "-purpose", "any", "-no_check_time", "-out", "out",
    ]  # fmt: skip
    done = subprocess.run(command, cwd=folder, capture_output=True, check=False)
    return done.returncode == 0 and (folder / "out").read_bytes() == data
