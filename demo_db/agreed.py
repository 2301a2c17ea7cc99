"""How the invented families agree: to care, to touch, and to what else is asked of them once."""

from __future__ import annotations

from typing import Any

from demo_db.charting import Charting
from forms.answers import Absence
from forms.consent import CareConsent, Consent, TouchConsent

__all__ = ["agree", "agree_to"]

WORDING = "October 2025"
"""The version at the foot of the invented practice's own wording."""


def agree(desk: Charting, person: str, by: str, at: str, *touch: str, shared: bool = False, own: bool = False) -> None:
    """Spoken consent to care of one person, and to touch within `touch` (codes of the scope); none of them declines.

    `own`: the person speaks for themselves; else `by` is a parent, who decides alone or `shared` with another.
    """
    said: dict[str, Any] = {"given_by": by, "how": "spoken", "witness": "Rowan Vale", "given_at": at}
    for_baby: dict[str, Any] = {} if own else {"may_consent": "shared" if shared else "yes"}
    desk.fill(
        CareConsent, person, agreed="yes", relation="self" if own else "parent", wording=WORDING, rest=Absence.NONE,
        **said, **for_baby,
    )  # fmt: skip
    allowed: dict[str, Any] = {"agreed": "yes", "scope": touch} if touch else {"agreed": "no"}
    desk.fill(TouchConsent, person, **allowed, **said)


def agree_to(desk: Charting, person: str, by: str, at: str, purpose: str, **answers: Any) -> None:
    """One row of consent of a parent for themselves: `purpose` is a code of `forms.consent.PURPOSES`."""
    desk.fill(
        Consent, person, entity=desk.ids(), purpose=purpose, given_by=by, relation="self", given_at=at, wording=WORDING,
        rest=Absence.NONE, **{"agreed": "yes", "how": "signed", **answers},
    )  # fmt: skip
