"""What is written once a visit is signed: forms that may be begun then, and questions of others that go on."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType
from typing import Final

__all__ = ["AFTER_SIGNING", "LATER_FIELDS"]

AFTER_SIGNING: Final = frozenset({
    "addendum", "contact", "urgent_contact", "prompt_closed", "paper_issued", "receipt", "receipt_code", "receipt_line",
    "receipt_payment",
})  # fmt: skip
"""Forms whose entries may be begun once the visit is signed and then written: they tell what happened afterwards.

One that was begun before is part of what was signed.
"""

LATER_FIELDS: Final[Mapping[str, frozenset[str]]] = MappingProxyType({
    "referral": frozenset({"state", "state_why", "sent_how", "sent_at"}),
})  # fmt: skip
"""Fields of other forms that go on after signing: how a referral that was decided at the visit went on."""
