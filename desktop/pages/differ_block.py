"""One thing on the desk: its values side by side, what they started from, the choice, its reason, and the history."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtWidgets import QWidget

from desktop.controls.buttons import Act, ActKind, Link
from desktop.controls.layouts import Pair, Stack
from desktop.controls.typed import Box, NoteBox
from desktop.controls.words import Rule, Title, Words
from desktop.differing import Differing, Gone, Stands
from desktop.pages.plain import key_row
from desktop.session import Routes, Session
from desktop.sharing import leave_late
from desktop.theme.tokens import Role, Size, Space
from forms.ask import Path
from forms.chart import Place
from forms.trouble import Trouble
from forms.visit import Addendum
from storage.changes import Begin, Change, ChangeSet, Put, Restore, StrikeOut
from storage.disputes import Kind
from storage.store import Store
from sync.merge.proposal import proposed

__all__ = ["DifferBlock", "LateBlock"]


class DifferBlock(Stack):
    """One dispute. Nothing is picked before she picks it, and nothing is written without a reason."""

    def __init__(self, session: Session, routes: Routes, shown: Differing) -> None:
        super().__init__(between=Space.GAP)
        self._session, self._routes, self.shown = session, routes, shown
        self._picked: Stands | None = None
        self.picks: list[Act] = []
        self.add(Rule(strong=True), Title(shown.family, size=Size.JOT), Words(shown.about, strong=True))
        self._show_started()
        self._show_values()
        self.own: NoteBox | None = None
        self.reason = Box(ems=20)
        self.reason.setAccessibleName(f"Why this one holds, {shown.about}")
        self.reason.returnPressed.connect(self._settle)
        self.told = Words("", ink=Role.WELD, strong=True)
        self.told.hide()
        self.keep = Act("Keep this one", kind=ActKind.MAIN)
        self.keep.clicked.connect(self._settle)
        self._reasoning = Stack(between=Space.GAP)
        self._reasoning.add(
            Words("Why this one holds. The other stays in the record.", ink=Role.SOFT_INK), self.reason, self.told,
            key_row(self.keep),
        )  # fmt: skip
        self._reasoning.hide()
        if shown.text and not shown.dispute.frozen:
            self._show_proposal()
        self.add(self._reasoning)
        self._show_rest()

    def _show_started(self) -> None:
        one, started = self.shown, self.shown.started
        if one.dispute.kind is Kind.ANSWER:
            said = f"Both started from: {' or '.join(started)}" if started else "Both started from an empty answer."
        elif one.dispute.kind is Kind.SIGNED:
            said = "This visit was signed twice. Each signature holds for what its signer had seen; both are kept."
        else:
            said = "Struck out on one device, written to or brought back on another. Does it count?"
        self.add(Words(said, ink=Role.SOFT_INK))

    def _show_values(self) -> None:
        holder = QWidget()
        row = Pair(holder)
        for stands in self.shown.stands:
            side = Stack(between=Space.FINE)
            whose = "Here" if stands.here else "There"
            side.add(Words(whose, size=Size.SMALL, ink=Role.SOFT_INK), Words(stands.words, size=Size.JOT, strong=True))
            side.add(Words(stands.by, ink=Role.SOFT_INK))
            if stands.reason:
                side.add(Words(f"Reason given: {stands.reason}", size=Size.SMALL, ink=Role.SOFT_INK))
            if self.shown.dispute.kind is Kind.ANSWER and not self.shown.dispute.frozen:
                key = Act("This one holds")
                key.setAccessibleName(f"This one holds: {stands.words}")
                key.setCheckable(True)
                key.clicked.connect(lambda _on=False, stands=stands, key=key: self._pick(stands, key))
                self.picks.append(key)
                side.add(key_row(key))
            side.finish()
            if len(self.shown.stands) > 2:
                self.add(side)
            else:
                row.addWidget(side)
        if len(self.shown.stands) <= 2:
            self.add(holder)
        if self.shown.dispute.kind is Kind.STRUCK and not self.shown.dispute.frozen:
            counts, struck = Act("It counts"), Act("It stays struck out")
            for key, made in ((counts, "counts"), (struck, "struck")):
                key.setCheckable(True)
                mark = Stands(made, "", here=True, value=made)
                key.clicked.connect(lambda _on=False, mark=mark, key=key: self._pick(mark, key))
                self.picks.append(key)
            self.add(key_row(counts, struck))

    def _show_proposal(self) -> None:
        start = self.shown.started[0] if len(self.shown.started) == 1 else ""
        made = proposed(start, *(str(stands.value) for stands in self.shown.stands))
        self.own = NoteBox()
        self.own.setPlainText(made.words)
        self.own.setAccessibleName(f"Both joined, {self.shown.about}")
        say = "A proposal that joins both, word by word. Read it, change it, then keep it or not."
        if made.open:
            places = "1 place" if made.open == 1 else f"{made.open} places"
            say = f"{say} In {places} both changed the same words: they stand in brackets, settle those first."
        key = Act("Keep these words")
        key.setCheckable(True)
        key.clicked.connect(lambda _on=False: self._pick(None, key))
        self.picks.append(key)
        self.add(Words(say, ink=Role.SOFT_INK), self.own, key_row(key))

    def _show_rest(self) -> None:
        if self.shown.dispute.frozen:
            self._show_below()
        self._history = Stack(between=Space.FINE)
        for stands in self.shown.history:
            why = f" Reason: {stands.reason}" if stands.reason else ""
            self._history.add(Words(f"{stands.words}. {stands.by}.{why}", size=Size.SMALL, ink=Role.SOFT_INK))
        self._history.hide()
        link = Link(f"Everything ever written here, {len(self.shown.history)}")
        link.clicked.connect(lambda: self._history.setVisible(self._history.isHidden()))
        self.add(key_row(link), self._history)

    def _show_below(self) -> None:
        """What is signed stays: which of the two holds is said in words below the note."""
        self.below = NoteBox()
        self.below.setAccessibleName(f"Which holds, {self.shown.about}")
        self.keep.setText("Add it below the note")
        self.keep.clicked.disconnect()
        self.keep.clicked.connect(self._settle_below)
        self.add(
            Words(
                "Each was signed as it was seen, so both stay. Say below the note which one holds.",
                ink=Role.SOFT_INK,
            ),
            self.below, self.told, key_row(self.keep),
        )  # fmt: skip

    def _settle_below(self) -> None:
        words, dispute, author = self.below.toPlainText().strip(), self.shown.dispute, self._session.author
        if not words:
            self._say("Write which one holds and why; both stay until then.")
            self.below.setFocus()
            return
        answers = {
            "note": "+".join(dispute.place.subjects) or "visit", "kind": "correction",
            "words": "\n".join((self.shown.about, *(f"{one.words} ({one.by})" for one in self.shown.stands), words)),
            "why": "Signed on two devices that did not know of one another.",
        }  # fmt: skip
        changes: tuple[Change, ...] = (
            Begin(dispute.addendum, Place(Addendum.name, dispute.place.family or dispute.entity, dispute.visit)),
            *(Put(dispute.addendum, Path(name), value) for name, value in answers.items()),
        )
        self.keep.setEnabled(False)
        self._session.lane.run(lambda store: store.write(changes, author=author), None, self._refused)

    def _pick(self, stands: Stands | None, pick: Act) -> None:
        self._picked = stands
        for each in self.picks:
            each.setChecked(each is pick)
        self._reasoning.show()
        self.told.hide()
        self.reason.setFocus()

    def _say(self, sentence: str) -> None:
        self.told.say(sentence)
        self.told.show()

    def _settle(self) -> None:
        if not any(each.isChecked() for each in self.picks):
            return
        reason, value = self.reason.text().strip(), self._picked.value if self._picked is not None else None
        if self._picked is None:
            assert self.own is not None
            value = self.own.toPlainText().strip()
            if not value or ("[" in value and " | " in value):
                self._say("Settle what stands in brackets first, or keep one of the two as it is.")
                return
        if not reason:
            self._say("Say in a word or two why this one holds; both stay until then.")
            self.reason.setFocus()
            return
        dispute = self.shown.dispute
        change: Change = Put(
            dispute.entity, dispute.path, value, tuple(head.operation for head in dispute.heads), reason
        )
        if dispute.kind is Kind.STRUCK:
            change = (Restore if value == "counts" else StrikeOut)(dispute.entity, reason)
        self.keep.setEnabled(False)
        author = self._session.author
        self._session.lane.run(lambda store: store.write((change,), author=author), None, self._refused)

    def _refused(self, trouble: Trouble) -> None:
        self.keep.setEnabled(True)
        self._say(trouble.sentence)


class LateBlock(Stack):
    """What came after a signature: added below the note in words, or seen and left. Either way it stays readable."""

    def __init__(self, session: Session, gone: Gone, seen: Callable[[], None]) -> None:
        super().__init__(between=Space.GAP)
        self._session, self.gone, self._seen = session, gone, seen
        self.add(
            Rule(strong=True),
            Title(gone.family, size=Size.JOT),
            Words(f"Arrived after signing: {gone.about}", strong=True),
        )
        for line in gone.lines:
            self.add(Words(line))
        self.told = Words("", ink=Role.WELD, strong=True)
        self.told.hide()
        self.put = Act("Add it below the note", kind=ActKind.MAIN)
        self.put.clicked.connect(self._add)
        self.left = Act("Seen, leave it")
        self.left.clicked.connect(self._leave)
        self.add(self.told, key_row(self.put, self.left))

    def _operations(self) -> tuple[str, ...]:
        return tuple(head.operation for _path, head in self.gone.late.arrived)

    def _add(self) -> None:
        late, author, made = self.gone.late, self._session.author, self._operations()
        note = "+".join(late.place.subjects) or "visit"
        answers = {
            "note": note, "kind": "received", "words": "\n".join((self.gone.about, *self.gone.lines)),
            "why": "Written on another device, received after signing.",
        }  # fmt: skip
        changes: tuple[Change, ...] = (
            Begin(late.addendum, Place(Addendum.name, late.place.family, late.visit)),
            *(Put(late.addendum, Path(name), value) for name, value in answers.items()),
        )

        def write(store: Store) -> ChangeSet:
            done = store.write(changes, author=author)
            leave_late(store, made, "added")
            return done

        self._session.lane.run(write, None, self._refused)

    def _leave(self) -> None:
        made = self._operations()
        self._session.lane.run(lambda store: leave_late(store, made, "left"), lambda _none: self._seen(), self._refused)

    def _refused(self, trouble: Trouble) -> None:
        self.told.say(trouble.sentence)
        self.told.show()
