"""Asks a service for a time stamp (RFC 3161) while a paper is sealed, if the practice set the address of one.

The service learns the hash of a seal, and from where and when it was asked; nothing of the paper. It may be away, slow
or wrong: then the paper is sealed without a stamp, and `missed` says so. The whole of it, the search for the host
too, takes at most `PATIENCE`: the answer is waited for beside the thread that asks, which is left to end by itself.
"""

from __future__ import annotations

import ssl
from collections.abc import Callable
from concurrent.futures import Future
from contextlib import suppress
from http.client import HTTPConnection, HTTPException, HTTPSConnection
from threading import Thread
from time import monotonic
from typing import Any, Final

from forms.chart import Chart
from forms.stamp_address import StampAddress, stamp_address, stamp_address_of
from sync.handoff.stamp import LARGEST_STAMP, judged, tidied
from sync.handoff.verify import breaks

__all__ = ["PATIENCE", "Stamping", "stamping_of"]

PATIENCE: Final = 4.0
"""Seconds that sealing waits for a service: house bound, no source. What is typed is written after it at the latest."""
_LARGEST_ANSWER: Final = 64_000  # bytes; a stamp with what it drags along has some six thousand
_NO_ADDRESS: Final = "Sealed without a time stamp: the address of the service, under Practice, cannot be used."
_SILENT: Final = "Sealed without a time stamp: the service did not answer."
_ERROR: Final = "Sealed without a time stamp: the service answered with an error."
_NO_STAMP: Final = "Sealed without a time stamp: what the service answered is no stamp of this paper."


class _UnansweredError(Exception):
    """The service did not answer in time, or with an error; its words are what `missed` says."""


def _answer(connection: HTTPConnection, path: str, query: bytes, until: float) -> bytes:
    """What a service answers to a query. No redirect is followed and no proxy of the surroundings is used."""
    told = {
        "Content-Type": "application/timestamp-query",
        "Accept": "application/timestamp-reply",
        "Connection": "close",
    }
    connection.request("POST", path, body=query, headers=told)
    with connection.getresponse() as answer:
        if answer.status != 200:
            raise _UnansweredError(_ERROR)
        found = b""
        while len(found) <= _LARGEST_ANSWER and monotonic() < until:
            more = answer.read1(_LARGEST_ANSWER)
            if not more:
                return found
            found += more
    raise _UnansweredError(_SILENT if len(found) <= _LARGEST_ANSWER else _NO_STAMP)


def _fetched(address: StampAddress, query: bytes, patience: float) -> bytes:
    """The same within `patience` seconds, whatever is slow. Raises _UnansweredError."""
    until = monotonic() + patience
    kind: Callable[..., HTTPConnection] = HTTPSConnection if address.secure else HTTPConnection
    more = {"context": ssl.create_default_context()} if address.secure else {}
    connection = kind(address.host, address.port, timeout=patience, **more)
    came: Future[bytes] = Future()

    def ask() -> None:
        try:
            came.set_result(_answer(connection, address.path, query, until))
        except _UnansweredError as fault:
            came.set_exception(fault)
        except (OSError, HTTPException, ValueError):
            came.set_exception(_UnansweredError(_SILENT))
        finally:
            connection.close()

    Thread(target=ask, name="time-stamp", daemon=True).start()
    try:
        return came.result(patience)
    except TimeoutError:
        with suppress(OSError, AttributeError):
            connection.sock.shutdown(2)  # ends the thread where it waits for more
        raise _UnansweredError(_SILENT) from None


def _stamper(stamping: Stamping) -> Any:
    """PyHanko's way to a stamp: one question for each paper, and no stamp instead of a fault."""
    from asn1crypto import cms
    from pyhanko.sign.timestamps import TimeStamper

    class OneQuestion(TimeStamper):
        given = False  # whether the paper has its stamp

        async def async_dummy_response(self, md_algorithm: str) -> Any:
            """Holds the room for a stamp free, without asking anybody."""
            del md_algorithm
            return cms.ContentInfo({"content_type": "data", "content": bytes(LARGEST_STAMP)})

        async def async_timestamp(self, message_digest: bytes, md_algorithm: str) -> Any:
            own: Any = self
            stamp = stamping.asked(own.request_cms(message_digest, md_algorithm), message_digest, md_algorithm)
            self.given = stamp is not None
            return cms.ContentInfo.load(stamp) if stamp is not None else None

    made: Any = OneQuestion
    return made()


class Stamping:
    """Asks for the stamps of one piece of work. Once it did not get one it asks no more, so that nobody waits twice."""

    def __init__(self, address: str, patience: float = PATIENCE) -> None:
        """An empty `address` asks nobody; `patience` is in seconds."""
        self._typed, self._patience = address, patience
        self.missed = ""
        """Why a paper got no stamp, in one sentence; "" while none was missed."""

    @property
    def on(self) -> bool:
        """Whether a stamp is to be asked for."""
        return bool(self._typed) and not self.missed

    def stamper(self) -> Any:
        """What pyHanko asks, None where nobody is to be asked."""
        return _stamper(self) if self.on else None

    def asked(self, question: tuple[int, Any], digest: bytes, way: str) -> bytes | None:
        """The stamp over a hash made in that way, None where there is none that holds."""
        address = stamp_address(self._typed)
        if address is None:
            self.missed = _NO_ADDRESS
            return None
        nonce, query = question
        try:
            answer = _fetched(address, query.dump(), self._patience)
        except _UnansweredError as fault:
            self.missed = str(fault)
            return None
        try:
            return _stamp_in(answer, nonce, lambda one: digest if one == way else b"")
        except breaks():
            self.missed = _NO_STAMP
            return None


def _stamp_in(answer: bytes, nonce: int, hashed: Callable[[str], bytes]) -> bytes:
    """The stamp in an answer, tidied; raises ValueError and errors of parsers where it does not hold."""
    from asn1crypto import tsp

    told = tsp.TimeStampResp.load(answer, strict=True)
    if told["status"]["status"].native not in {"granted", "granted_with_mods"}:
        raise ValueError("refused")
    stamp = tidied(told["time_stamp_token"].dump())
    if judged(stamp, hashed).nonce != nonce:
        raise ValueError("an answer to another question")
    return stamp


def stamping_of(chart: Chart) -> Stamping:
    """What the practice of a chart set."""
    return Stamping(stamp_address_of(chart))
