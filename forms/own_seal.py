"""The certificates by which this practice's own papers are told, on each of its devices.

A practice root is made on one device and its private half leaves the record; what is kept here is public. With it every
device knows that there is a root and which, so that none makes another unasked, and a paper sealed on one of them is
known on all as the practice's own. The same is kept of a certificate that a consultant brought along.
"""

from __future__ import annotations

from dataclasses import dataclass
from hashlib import sha256

from forms.answers import Given
from forms.ask import Need, NotCoded, NotPrinted, text, yes_no
from forms.chart import entry_id
from forms.form import About, Form, declared

__all__ = ["OwnSeal", "own_seal_id"]

SETTING = NotPrinted("how the practice's own papers are known; each sealed paper carries the certificate itself")
OWN = NotCoded("a setting of the practice, not handed over")


@declared("own_seal", "Certificate of the practice’s own", About.PRACTICE, repeats=True)
@dataclass(frozen=True, slots=True, kw_only=True)
class OwnSeal(Form):
    """One root of the practice, or one certificate that a consultant brought along. Written by the program."""

    certificate: Given[str] = text(
        "Certificate", need=Need.MUST, paper=SETTING, code=OWN, help="DER in Base64; its SHA-256 is the fingerprint."
    )
    given_up: Given[bool] = yes_no(
        "Nothing more is sealed under it", paper=SETTING, code=OWN,
        help="What it sealed before stays known as the practice’s own.",
    )  # fmt: skip


def own_seal_id(certificate: bytes) -> str:
    """The id of the entry that keeps a certificate (DER): the same on every device, and of no other certificate."""
    return entry_id(OwnSeal, None, (sha256(certificate).hexdigest(),))
