"""The senders whose fingerprint was compared: their list at the side of a page, and one of them in the middle."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial

from PySide6.QtCore import Qt

from desktop.controls.buttons import Link
from desktop.controls.layouts import Stack
from desktop.controls.words import Rule, Title, Words
from desktop.open_chart import OpenChart
from desktop.pages.paper_found import Facts, in_lines, when_words
from desktop.sheets.known_sender import KNOWN_SENDER
from desktop.sheets.laid import Laid, lay
from desktop.sheets.listing import StrikeAsked
from desktop.theme.tokens import Role, Size, Space
from forms.chart import Entry
from forms.known_sender import COMPARED, KnownSender
from forms.practice import Practitioner
from sync.handoff.known_senders import root_of
from sync.handoff.verify import fingerprint

__all__ = ["OneSender", "SenderList", "called", "senders", "struck_words"]

_OWN_ROOT = (
    "What is sealed on this device is always known, and so is what any device of the practice seals as soon as its "
    "root has come with the record."
)


def senders(home: OpenChart) -> list[Entry[KnownSender]]:
    """Every sender ever added, those that count first, by name."""
    found = [e for e in home.chart.entries if isinstance(e.answers, KnownSender)]
    return sorted(found, key=lambda e: (e.struck is not None, called(e).casefold()))  # type: ignore[arg-type]


def called(entry: Entry[KnownSender]) -> str:
    """The name she gave a sender, or what stands in for it."""
    name = entry.answers.called
    return name if isinstance(name, str) and name.strip() else "A sender without one name"


def struck_words(home: OpenChart, root: bytes) -> str:
    """That the sender of this root was struck out, when and why; "" for one that never was."""
    for entry in senders(home):
        if entry.struck is not None and root_of(entry.answers) == root:
            when = when_words(entry.struck.at, home.zone)
            return f"“{called(entry)}” was known here and was struck out on {when}: {entry.struck.reason}"
    return ""


def _author(home: OpenChart, who: str) -> str:
    found = home.chart.by_id(who)
    name = found.answers.full_name if found is not None and isinstance(found.answers, Practitioner) else None
    return name if isinstance(name, str) else "somebody without a name here"


class SenderList(Stack):
    """The list; `open(entity)` is called for the one she picked."""

    def __init__(self, home: OpenChart, opens: Callable[[str], None]) -> None:
        super().__init__(between=Space.FINE)
        self._home, self._opens = home, opens
        self.refresh()

    def refresh(self) -> None:
        """Show who is known now."""
        self.clear()
        own = Words(_OWN_ROOT, size=Size.SMALL, ink=Role.SOFT_INK)
        self.add(Rule(), Words("Your own practice", strong=True), own)
        for entry in senders(self._home):
            link = Link(called(entry), size=Size.BASE)
            link.clicked.connect(partial(self._open, entry.id))
            self.add(Rule(), link, Words(_in_short(entry, self._home.zone), size=Size.SMALL, ink=Role.SOFT_INK))
        if not senders(self._home):
            self.add(
                Rule(),
                Words(
                    "Nobody else yet. Check a paper of theirs, then compare its fingerprint with them.",
                    size=Size.SMALL, ink=Role.SOFT_INK,
                ),
            )  # fmt: skip

    def _open(self, entity: str, *_pressed: object) -> None:
        self._opens(entity)


def _in_short(entry: Entry[KnownSender], zone: str) -> str:
    if entry.struck is not None:
        return f"Struck out on {when_words(entry.struck.at, zone)}"
    if root_of(entry.answers) is None:
        return "Not trusted: not one certificate stands for it"
    return f"Added on {when_words(entry.entered, zone)}"


class OneSender(Stack):
    """One sender: the name and how it was compared, which can be changed, and what stands for good."""

    def __init__(self, home: OpenChart, entry: Entry[KnownSender]) -> None:
        super().__init__(between=Space.PAD)
        self.page: Laid | None = None
        self._home, self._entry = home, entry
        head = Title(called(entry), size=Size.GREETING)
        self.add(head)
        root, struck = root_of(entry.answers), entry.struck
        if struck is not None:
            by = f"{when_words(struck.at, home.zone)} by {_author(home, struck.by)}"
            self.add(
                Words(f"Struck out on {by}: {struck.reason}", strong=True, ink=Role.WELD),
                Words("Papers with its seal count as those of a stranger. To trust it again, compare it anew."),
            )
        elif root is None:
            self.add(
                Words(
                    "Two certificates stand for this sender, or none, so its papers count as those of a stranger. "
                    "Strike it out, then compare it anew.",
                    strong=True, ink=Role.WELD,
                )
            )  # fmt: skip
        if struck is None:
            self.page = lay(KNOWN_SENDER, home, entry.id)
            self.add(self.page)
            self.setFocusProxy(self.page)
        else:
            head.setFocusPolicy(Qt.FocusPolicy.TabFocus)
            self.setFocusProxy(head)
        self.add(Rule(), Facts(self._rows(root)))
        if struck is None:
            self.strike = Link("Strike this sender out", size=Size.BASE)
            self.strike.clicked.connect(self._ask_why)
            self.add(self.strike)

    def _rows(self, root: bytes | None) -> list[tuple[str, str]]:
        home, entry = self._home, self._entry
        rows = [("Added", f"On {when_words(entry.entered, home.zone)}, by {_author(home, entry.author)}")]
        if entry.struck is not None and isinstance(entry.answers.compared, str):
            rows.append(("Compared", COMPARED.get(entry.answers.compared, entry.answers.compared)))
        if root is not None:
            rows.append(("Fingerprint", "\n".join(in_lines(fingerprint(root)))))
        return rows

    def _ask_why(self) -> None:
        self.strike.hide()
        asked = StrikeAsked(self._home, self._entry.id)
        self.add(asked)
        asked.reason.setFocus()
