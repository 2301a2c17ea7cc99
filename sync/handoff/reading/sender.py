"""Who sealed what came, and how far that holds: a paper by its seal, a record by the signature beside it."""

from __future__ import annotations

import asyncio
from collections.abc import Iterable, Mapping
from datetime import datetime
from types import MappingProxyType
from typing import Any, Final

from sync.handoff.chain import chain_above, compared, read_certificate, tells_apart
from sync.handoff.reading.held import Sender, Standing
from sync.handoff.verify import State, Verdict, breaks, certificate_told, fingerprint, hush, may_seal, verify

__all__ = ["sender_beside", "sender_of_paper"]


def _standing(*, intact: bool, held: bool, known: bool) -> Standing:
    if not intact:
        return Standing.CHANGED
    if not held:
        return Standing.EXPIRED
    return Standing.KNOWN if known else Standing.STRANGER


_OF_FILE: Final[Mapping[State, Standing]] = MappingProxyType({
    State.UNSEALED: Standing.UNSIGNED, State.EXPIRED: Standing.EXPIRED, State.CHANGED: Standing.CHANGED,
    State.DAMAGED: Standing.CHANGED,
})  # fmt: skip


def _of(verdict: Verdict) -> Standing:
    return _OF_FILE.get(verdict.state) or (Standing.KNOWN if verdict.known else Standing.STRANGER)


def sender_of_paper(paper: bytes, password: str | None, roots: tuple[bytes, ...]) -> Sender:
    """Who sealed a PDF. Raises NotAPaper and NeedsPassword."""
    verdict = verify(paper, password, roots=roots)
    return Sender(_of(verdict), verdict.signer, verdict.at, verdict.root)


def sender_beside(data: bytes, signature: bytes | None, roots: tuple[bytes, ...]) -> Sender:
    """Who signed a record with the CMS signature beside it; a signature that cannot be read counts as changed."""
    if signature is None:
        return Sender(Standing.UNSIGNED)
    hush()
    from asn1crypto import cms, x509

    try:
        content = cms.ContentInfo.load(signature, strict=True)["content"]
        held = [part.chosen for part in content["certificates"] if isinstance(part.chosen, x509.Certificate)]
        senders = [one for one in map(read_certificate, roots) if one is not None]
        status = asyncio.run(_checked(data, content, senders, None))
        leaf, at = status.signing_cert, status.signer_reported_dt
        certificate, root = certificate_told(leaf), compared(leaf, chain_above(leaf, held))
        in_time = at is not None and certificate.not_before <= at <= certificate.not_after
        anchors = [one for one in senders if tells_apart(one, leaf)]
        known = bool(anchors) and asyncio.run(_checked(data, content, anchors, at)).trusted
    except breaks():
        return Sender(Standing.CHANGED)
    return Sender(
        _standing(intact=status.intact and status.valid, held=in_time, known=known), certificate.subject, at,
        fingerprint(root.dump()) if root is not None else "",
    )  # fmt: skip


async def _checked(data: bytes, content: Any, anchors: Iterable[Any], moment: datetime | None) -> Any:
    from pyhanko.sign.validation.generic_cms import async_validate_detached_cms
    from pyhanko_certvalidator import ValidationContext

    context = ValidationContext(
        trust_roots=list(anchors), moment=moment, best_signature_time=moment, allow_fetching=False
    )
    return await async_validate_detached_cms(
        data, content, signer_validation_context=context, key_usage_settings=may_seal()
    )
