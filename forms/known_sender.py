"""The practices whose seal she trusts, because she compared their fingerprint with them herself.

Who entered one and when stands with the entry, as with any other. A sender who is not to be trusted any more is struck
out and stays readable, so that it can be seen what an older paper was judged by.
"""

from __future__ import annotations

from base64 import b64decode, b64encode
from binascii import Error
from dataclasses import dataclass

from forms.answers import Given
from forms.ask import Need, NotCoded, NotPrinted, choice, codes, line, text
from forms.form import About, Form, declared

__all__ = ["COMPARED", "KnownSender", "packed", "unpacked"]

SETTING = NotPrinted("whom the practice trusts; it decides how a paper received is told of, not what one says")
OWN = NotCoded("a setting of the practice, not handed over")

COMPARED = codes(phone="By phone, on a number not from the paper", in_person="In person")


@declared("known_sender", "Known sender", About.PRACTICE, repeats=True)
@dataclass(frozen=True, slots=True, kw_only=True)
class KnownSender(Form):
    """One practice's root certificate, and the name she knows that practice by."""

    called: Given[str] = line(
        "Your name for this sender", need=Need.MUST, paper=SETTING, code=OWN,
        help="The name inside a certificate is whatever its maker wrote; this one is yours.",
    )  # fmt: skip
    compared: Given[str] = choice("How the fingerprint was compared", COMPARED, paper=SETTING, code=OWN)
    root: Given[str] = text(
        "Root certificate", paper=SETTING, code=OWN, help="DER in Base64; its SHA-256 is the fingerprint."
    )


def packed(certificate: bytes) -> str:
    """A certificate (DER) as a `KnownSender` keeps it."""
    return b64encode(certificate).decode("ascii")


def unpacked(sender: KnownSender) -> bytes | None:
    """The certificate (DER) of an entry; None while none stands, or two do: then nobody can say which is trusted."""
    if not isinstance(sender.root, str):
        return None
    try:
        return b64decode(sender.root, validate=True) or None
    except (Error, ValueError):
        return None
