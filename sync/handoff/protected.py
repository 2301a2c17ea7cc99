"""Locks a paper with a password before it is sealed: AES-256 as in PDF 2.0, pages, title and what is carried inside.

What is not locked, because a seal has to be read before anything else: the certificates, which name the consultant and
the practice, and the day of the seal. Locking a sealed paper would break its seal, so it is always done first.
"""

from __future__ import annotations

from datetime import datetime
from io import BytesIO
from typing import Any

from forms.trouble import Bug
from sync.handoff.dated import dated
from sync.handoff.password import LONGEST

__all__ = ["locked", "must_be_locked"]


def locked(pdf: bytes, password: str, *, at: datetime) -> bytes:
    """The paper locked at a moment, not sealed yet. Raises Bug for a password that not every reader takes."""
    from pyhanko.pdf_utils.reader import PdfFileReader
    from pyhanko.pdf_utils.writer import copy_into_new_writer

    if not (password.isascii() and 0 < len(password) <= LONGEST):
        raise Bug("a password that some readers do not take")
    writer: Any = dated(copy_into_new_writer(PdfFileReader(BytesIO(pdf))), at)
    # The code of PDF 2.0 that guards a locked file against changes is unknown to readers, which then refuse the seal.
    writer.encrypt(owner_pass=password, user_pass=password, pdf_mac=False)
    out = BytesIO()
    writer.write(out)
    return out.getvalue()


def must_be_locked(pdf: bytes, password: str) -> None:
    """Opens what is to leave as a reader would. Raises Bug unless the password opens it and nothing else does."""
    import pikepdf

    for wrong in ("", password[:-1]):
        try:
            pikepdf.open(BytesIO(pdf), password=wrong).close()
        except pikepdf.PasswordError:
            continue
        raise Bug("a locked paper opens without its password")
    with pikepdf.open(BytesIO(pdf), password=password) as opened:
        if opened.encryption.R != 6 or opened.encryption.bits != 256 or not opened.pages:
            raise Bug("a locked paper is not locked as it should be")
