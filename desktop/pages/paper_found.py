"""What was found of a paper, in words: the finding first, then the facts it rests on."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime
from types import MappingProxyType
from typing import Final

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QGridLayout, QWidget

from desktop.controls.layouts import Stack, spaced
from desktop.controls.words import Rule, Title, Words
from desktop.theme.look import look
from desktop.theme.tokens import Role, Size, Space, Target
from forms.answers import Moment
from forms.papers.said import day_words, moment_words
from sync.handoff.checking import Checked, Inside
from sync.handoff.known_senders import OWN
from sync.handoff.verify import State, stamp_maker

__all__ = ["Facts", "Found", "in_lines", "when_words"]

_PER_LINE = 4
_HEADS: Final[Mapping[State, str]] = MappingProxyType({
    State.CHANGED: "Changed since it was sealed",
    State.EXPIRED: "Sealed when its certificate did not hold",
    State.UNSEALED: "Not sealed",
    State.DAMAGED: "Damaged: its seal cannot be judged",
})  # fmt: skip
_MEANS: Final[Mapping[State, str]] = MappingProxyType({
    State.CHANGED: "Do not rely on it; ask the sender for the file again. A copy that another program saved anew loses "
    "its seal too, even where every word is the same.",
    State.EXPIRED: "The bytes are as they were sealed, but a seal counts only while its certificate holds. Ask the "
    "sender to seal the paper again.",
    State.UNSEALED: "Nothing in the file shows who made it or whether it was changed. It may be right all the same; "
    "ask whoever sent it.",
    State.DAMAGED: "It was sealed once and arrived broken, so nothing can be said of it. Ask the sender for it again.",
})  # fmt: skip
_KNOWN = "Every byte is as it was sealed, and the seal belongs to the certificate you trust."
_STRANGER = (
    "Every byte is as it was sealed. Whose seal it is nobody here has checked: the names below are what its maker "
    "wrote. Compare the fingerprint with that practice before you rely on them."
)
_NO_ROOT = (
    "It brings no root certificate along, so there is nothing to compare and its sender cannot be added. Ask them "
    "for a paper that carries it."
)
_MISFIT = "Take care: what it carries inside does not fit its pages; take nothing in from it. See “Inside” below."


def when_words(at: datetime, zone: str) -> str:
    """A time in the practice's zone, with the name of that zone; in UTC where a stranger wrote one of no calendar."""
    moment = Moment(at, zone)
    try:
        return f"{moment_words(moment)} {moment.local().tzname()}"
    except OverflowError:
        return f"{at:%Y-%m-%d %H:%M} UTC"


def in_lines(fingerprint: str, per_line: int = 2 * _PER_LINE) -> tuple[str, ...]:
    """The groups of a fingerprint in lines of so many."""
    groups = fingerprint.split()
    return tuple(" ".join(groups[at : at + per_line]) for at in range(0, len(groups), per_line))


class Facts(QWidget):
    """Facts under one another: what each is, softly, and beside it what was found."""

    def __init__(self, rows: list[tuple[str, str]]) -> None:
        super().__init__()
        grid = QGridLayout(self)
        spaced(grid, Space.SNUG)
        grid.setHorizontalSpacing(Space.WIDE)
        grid.setColumnMinimumWidth(0, look().px(Target.TOUCH * 3))
        grid.setColumnStretch(1, 1)
        for row, (label, words) in enumerate(rows):
            named = Words(label, ink=Role.SOFT_INK)
            named.setAlignment(Qt.AlignmentFlag.AlignLeading | Qt.AlignmentFlag.AlignTop)
            grid.addWidget(named, row, 0)
            value = Words(words)
            value.setAccessibleDescription(label)
            grid.addWidget(value, row, 1)


class Found(Stack):
    """The finding on one paper. `more` is what stands between sentence and facts; shown once it holds something.

    `doubtful`: something speaks against trusting its sender.
    """

    def __init__(self, checked: Checked, name: str, zone: str, struck: str = "") -> None:
        """`name` is that of the file, `struck` says that its sender was trusted once and was struck out."""
        super().__init__(between=Space.PAD)
        self.checked, self._zone = checked, zone
        head, ink = self._headed()
        self.head = Title(head, size=Size.FIGURE)
        self.head.take_ink(ink)
        self.add(self.head, *(Words(sentence) for sentence in self._means()))
        if checked.namesake:
            self.add(
                Words(
                    f"Take care: “{checked.namesake}”, whom you know, goes by this very name with another fingerprint. "
                    "Ring them before you do anything with this paper.",
                    strong=True, ink=Role.WELD,
                )
            )  # fmt: skip
        if struck:
            self.add(Words(struck, strong=True, ink=Role.WELD))
        misfit = checked.verdict.good and not all(one.fits for one in checked.inside)
        if misfit:
            self.add(Words(_MISFIT, strong=True, ink=Role.WELD))
        self.doubtful = bool(checked.namesake or struck or misfit)
        self.more = Stack(between=Space.PAD)
        self.more.hide()
        self.add(self.more, Rule(), Facts(self._rows(name)))

    def _headed(self) -> tuple[str, Role]:
        checked = self.checked
        if not checked.verdict.good:
            return _HEADS[checked.verdict.state], Role.WELD
        if not checked.verdict.known:
            return "Unchanged, but the sender is not known", Role.WELD
        if checked.sender == OWN:
            return "Unchanged, and sealed by your own practice", Role.ALDER
        return f"Unchanged, from {checked.sender}" if checked.sender else "Unchanged, from a known sender", Role.ALDER

    def _means(self) -> tuple[str, ...]:
        verdict = self.checked.verdict
        if verdict.good and not verdict.known and not verdict.issuer:
            return _STRANGER, _NO_ROOT
        if verdict.good:
            return (_KNOWN if verdict.known else _STRANGER,)
        said = (" ".join(verdict.problems),) if verdict.state is State.CHANGED else ()
        return (*said, _MEANS[verdict.state])

    def _rows(self, name: str) -> list[tuple[str, str]]:
        verdict, rows = self.checked.verdict, [("File", name)]
        certificate = verdict.certificate
        if certificate is not None:
            rows.append(("Sealed by" if verdict.good else "The seal names", verdict.signer))
            if verdict.at is not None:
                rows.append(("When", f"{when_words(verdict.at, self._zone)}, by the sealer’s own clock"))
            if verdict.stamp is not None:
                when = when_words(verdict.stamp.at, self._zone)
                rows.append(("Time stamp", f"{when}, {stamp_maker(verdict.stamp)}"))
            rows.append(("Changed since", "No, not a byte" if verdict.state in (State.WHOLE, State.EXPIRED) else "Yes"))
            if verdict.contact:
                rows.append(("Whom to ask, it says", verdict.contact))
            days = (day_words(day.date()) for day in (certificate.not_before, certificate.not_after))
            rows.append(("Certificate", f"{certificate.subject}. Holds from {' to '.join(days)}."))
        if verdict.root:
            which = "certificate" if verdict.outside else "root"
            rows.append((f"Fingerprint of the {which}", "\n".join(in_lines(verdict.root))))
        rows.extend(("Inside", _inside(one)) for one in self.checked.inside)
        if certificate is not None and not self.checked.inside:
            rows.append(("Inside", "Nothing but the pages."))
        return rows


def _inside(one: Inside) -> str:
    fits = "It fits the paper." if one.fits else one.why
    return f"{one.name}: {one.what}, {one.size:,} bytes. {fits}"
