"""What can stand in the way at a place, each in one sentence, without any credential, and the reading of its faults.

The engines' own texts name addresses, headers and whole answers of servers; they are read here and never passed on.
"""

from __future__ import annotations

import errno
import re
from dataclasses import dataclass

from obstore.exceptions import AlreadyExistsError, BaseError, PermissionDeniedError, UnauthenticatedError

from forms.trouble import Trouble

__all__ = [
    "BadAddress", "Fault", "Forked", "Full", "NoPlace", "NoRight", "NotEncrypted", "NotKept", "NotTrusted",
    "OutOfOrder", "TooLarge", "Unreachable", "WrongPassword", "fault_of",
]  # fmt: skip


class BadAddress(Trouble):
    """An address that cannot be used as written."""

    template = "This address cannot be used: {why}."


class NotEncrypted(Trouble):
    """A server is to be spoken to in plain words over a network."""

    template = (
        "The address of “{place}” begins with {scheme}, so the password could be read on the way. "
        "Use {better}, or say that an unencrypted connection is wanted."
    )


class NotTrusted(Trouble):
    """The certificate of a server is not vouched for."""

    template = (
        "The place “{place}” showed a certificate that nobody known to this device vouches for. Nothing was sent. "
        "Check the address, or give the certificate of whoever runs it."
    )


class WrongPassword(Trouble):
    """Name or password do not open the place."""

    template = "The place “{place}” did not accept the name or the password. Check both and try again."


class NoRight(Trouble):
    """The place is open to this device, but not for this."""

    template = "This device may not {act} at the place “{place}”. Ask whoever looks after it for the right to."


class NoPlace(Trouble):
    """The folder to meet in is not there."""

    template = "The folder “{place}” is not there. Plug the stick in, or make the folder, and try again."


class Full(Trouble):
    """No room is left."""

    template = "The place “{place}” is full. Make room there and sync again; everything is still on this device."


class Unreachable(Trouble):
    """Nobody answers."""

    template = "The place “{place}” does not answer. Check the network and the address; nothing is lost by waiting."


class OutOfOrder(Trouble):
    """The place answers with a fault of its own."""

    template = (
        "The place “{place}” answered with a fault of its own{code}. Try again later; nothing is lost by waiting."
    )


class NotKept(Trouble):
    """What was written does not come back as it was."""

    template = (
        "The place “{place}” did not give back what was written there. Everything is still on this device; "
        "sync again, and choose another place if this goes on."
    )


class TooLarge(Trouble):
    """A file larger than any that is ever written."""

    template = "A file at the place “{place}” is larger than any that Hearthside writes. It was left alone: {name}."


class Forked(Trouble):
    """Other bytes lie under a name that this device alone writes: it was copied, or somebody else wrote there."""

    template = (
        "At the place “{place}” something else lies under a name that only this device writes. It was left as it is. "
        "Was this device copied, or put back from a backup? Sync again to take in what lies there: {name}."
    )


@dataclass(frozen=True, slots=True)
class Fault:
    """What an engine's failure means. `passing`: another try may go well. `status` is HTTP's, 0 for none."""

    trouble: type[Trouble]
    passing: bool = False
    status: int = 0

    def told(self, place: str, act: str) -> Trouble:
        """The trouble to raise; `act` is what was tried: "read" or "write"."""
        code = f" ({self.status})" if self.status else ""
        return self.trouble(place=place, act=act, code=code)


_OS = re.compile(r"os error (\d+)")
_STATUS = re.compile(r"\bstatus: (\d{3})\b|status code:? (\d{3})\b")
_FULL = {errno.ENOSPC, errno.EDQUOT, errno.EFBIG}
_FORBIDDEN = {errno.EACCES, errno.EPERM, errno.EROFS}
_CERTIFICATE = re.compile(
    r"invalid peer certificate|InvalidCertificate|UnknownIssuer|NotValidForName|CertificateUnknown"
)
_KEYS = re.compile(r"InvalidAccessKeyId|SignatureDoesNotMatch")


def fault_of(error: BaseError | OSError) -> Fault:
    """Reads what an engine raised."""
    text = str(error)
    number = getattr(error, "errno", None) or int(next(iter(_OS.findall(text)), "0"))
    if _CERTIFICATE.search(text):
        return Fault(NotTrusted)
    if isinstance(error, AlreadyExistsError):
        return Fault(NoPlace, passing=True, status=409)
    if isinstance(error, UnauthenticatedError) or _KEYS.search(text):
        return Fault(WrongPassword)
    if isinstance(error, PermissionDeniedError) or number in _FORBIDDEN:
        return Fault(NoRight)
    if number in _FULL:
        return Fault(Full)
    status = int(next((one or other for one, other in _STATUS.findall(text)), "0"))
    if status == 507:
        return Fault(Full)
    if status:
        return Fault(OutOfOrder, passing=status >= 500 or status in {405, 408, 409, 423, 429}, status=status)
    if "HttpError" in text or "HTTP error" in text:
        return Fault(Unreachable, passing=True)
    return Fault(OutOfOrder)
