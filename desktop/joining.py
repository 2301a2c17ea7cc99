"""A device that joins, and an owner who lets it in: the steps of both, off the GUI thread, each of which may be left.

Both ask the place through the worker on which rounds run; nothing is kept on either device before two people saw the
same digits, and whatever was asked before `cancel` is answered to nobody.
"""

from __future__ import annotations

from collections.abc import Callable
from enum import Enum, auto

from PySide6.QtCore import QObject, QTimer, Signal

from desktop.session import Session
from desktop.sharing import PLACE, Place
from forms.role import Role
from forms.trouble import Trouble
from storage.store import Store
from sync.exchange.join import Asking, Guest, Heard, admit, ask_to_join, come_in, heard, meet_guest, turn_away
from sync.exchange.practice import Practice
from sync.exchange.troubles import NotFounded
from sync.transport.port import Target
from sync.transport.troubles import NoPlace, OutOfOrder, Unreachable

__all__ = ["AGAIN_MS", "Joining", "LettingIn", "Step"]

AGAIN_MS = 2_000
"""How often the place is asked whether the other device has answered: house bound, no source."""

_PASSING = (Unreachable, NoPlace, OutOfOrder)
"""What goes by: the place is asked again while the code holds."""


class Step(Enum):
    """How far the pairing is. Not every step is one of both sides."""

    REST = auto()
    ASKING = auto()  # the place is being opened
    SHOWN = auto()  # the code stands on the screen of the new device
    COMPARE = auto()  # both screens show digits
    AGREED = auto()  # the digits are the same here; owner: which role
    ADMITTING = auto()
    INSIDE = auto()


class _Pairing(QObject):
    """What both sides share. Signal `changed()`. `trouble` is what ended it or stands in the way just now."""

    changed = Signal()

    def __init__(self, session: Session, parent: QObject) -> None:
        super().__init__(parent)
        self.session, self.sharing, self._lane = session, session.sharing, session.lane
        self.step = Step.REST
        self.trouble: Trouble | None = None
        self._turn = 0
        self._target: Target | None = None

    def _go(self, step: Step, trouble: Trouble | None = None) -> None:
        self.step, self.trouble = step, trouble
        self.changed.emit()

    def cancel(self) -> None:
        """Give it up: nothing was kept, and what is still under way is answered to nobody."""
        self._turn += 1
        self._go(Step.REST)

    def _of_this_turn(self, act: Callable[..., None]) -> Callable[..., None]:
        """The same act, done only while nobody has cancelled since."""
        turn = self._turn

        def now(*what: object) -> None:
            if turn == self._turn:
                act(*what)

        return now


class Joining(_Pairing):
    """The new device: it asks, shows its code, compares, and comes in."""

    def __init__(self, session: Session, parent: QObject) -> None:
        super().__init__(session, parent)
        self.asking: Asking | None = None
        self.met: Heard | None = None
        self.label, self._place = "", Place("")
        self._again = QTimer(self)
        self._again.setSingleShot(True)
        self._again.setInterval(AGAIN_MS)
        self._again.timeout.connect(self.look)

    def seconds_left(self) -> int:
        """How long the code still holds; 0 when it does not, or none stands."""
        if self.asking is None:
            return 0
        return max(0, round((self.asking.until - self.session.clock()).total_seconds()))

    def ask(self, label: str, place: Place, refused: Callable[[Trouble], None], then: Callable[[], None]) -> None:
        """Put a request down at a place, and show its code."""
        self.label, self._place = label, place
        self.step, self.trouble, self.asking, self.met = Step.ASKING, None, None, None

        def work(store: Store) -> tuple[Target, Asking]:
            target = self.sharing.open(place, store.device)
            return target, ask_to_join(store, target, label, self.session.clock)

        def shown(made: tuple[Target, Asking]) -> None:
            self._target, self.asking = made
            then()
            self._go(Step.SHOWN)
            self._again.start()

        def not_asked(trouble: Trouble) -> None:
            self.step = Step.REST
            refused(trouble)

        self._lane.apart(work, self._of_this_turn(shown), self._of_this_turn(not_asked))

    def ask_again(self) -> None:
        """A new code, at the same place and under the same name."""
        self._turn += 1
        self._again.stop()
        self.ask(self.label, self._place, lambda trouble: self._go(Step.REST, trouble), lambda: None)
        self.changed.emit()

    def look(self) -> None:
        """Ask the place whether the owner's device has answered."""
        asking, target, met, clock = self.asking, self._target, self.met, self.session.clock
        if target is None or asking is None:
            return

        if self.step is Step.SHOWN:
            self._lane.apart(
                lambda _store: heard(target, asking, clock),
                self._of_this_turn(self._heard), self._of_this_turn(self._astray),
            )  # fmt: skip
        elif self.step is Step.AGREED and met is not None:
            self._lane.apart(
                lambda store: self._enter(store, target, met), self._of_this_turn(self._in),
                self._of_this_turn(self._astray),
            )  # fmt: skip

    def _heard(self, met: Heard | None) -> None:
        if met is None:
            self._again.start()
            if self.trouble is not None:
                self._go(self.step)
            return
        self.met = met
        self._go(Step.COMPARE)

    def agree(self) -> None:
        """The digits are the same on both screens."""
        if self.step is Step.COMPARE:
            self._go(Step.AGREED)
            self.look()

    def _enter(self, store: Store, target: Target, met: Heard) -> Practice | None:
        practice = come_in(store, target, met, self.session.clock)
        if practice is not None:
            store.keep_secret(PLACE, self._place.kept())
        return practice

    def _in(self, practice: Practice | None) -> None:
        if practice is None:
            self._again.start()
            if self.trouble is not None:
                self._go(self.step)
            return
        self.asking = self.met = self._target = None
        self._go(Step.INSIDE)
        self.sharing.begin()

    def _astray(self, trouble: Trouble) -> None:
        if isinstance(trouble, _PASSING) and self.seconds_left():
            self._again.start()
            self._go(self.step, trouble)
            return
        self.asking = self.met = None
        self._go(Step.REST, trouble)

    def cancel(self) -> None:
        """Give it up. What was put down at the place opens nothing, and holds for ten minutes at most."""
        self._again.stop()
        self.asking = self.met = self._target = None
        super().cancel()


class LettingIn(_Pairing):
    """The owner: the code is typed, the digits are compared, a role is chosen, the device is let in."""

    def __init__(self, session: Session, parent: QObject) -> None:
        super().__init__(session, parent)
        self.guest: Guest | None = None

    def type(self, code: str) -> None:
        """Look for the device that shows this code."""
        self._go(Step.ASKING)

        def work(store: Store) -> tuple[Target, Guest]:
            place = Place.read(store.secret(PLACE))
            if place is None:
                raise NotFounded
            target = self.sharing.open(place, store.device)
            return target, meet_guest(store, target, code, self.session.clock)

        def met(found: tuple[Target, Guest]) -> None:
            self._target, self.guest = found
            self._go(Step.COMPARE)

        self._lane.apart(work, self._of_this_turn(met), self._of_this_turn(self._ended))

    def agree(self) -> None:
        """The digits are the same on both screens; nothing is given before a role is chosen."""
        if self.step is Step.COMPARE:
            self._go(Step.AGREED)

    def refuse(self) -> None:
        """The digits differ, or the device is not wanted: its code is of no use any more."""
        guest = self.guest
        self.cancel()
        if guest is not None:
            self._lane.run(lambda store: turn_away(store, guest))

    def admit(self, role: Role) -> None:
        """Let the device in. Broken off, it may be asked again with the same role or another."""
        guest, target = self.guest, self._target
        if guest is None or target is None or self.step is not Step.AGREED:
            return
        self._go(Step.ADMITTING)

        def done(_practice: Practice) -> None:
            self._go(Step.INSIDE)
            self.sharing.look(self.sharing.round)

        self._lane.apart(
            lambda store: admit(store, target, guest, role, self.session.clock),
            self._of_this_turn(done), self._of_this_turn(self._not_admitted),
        )  # fmt: skip

    def _not_admitted(self, trouble: Trouble) -> None:
        if isinstance(trouble, _PASSING):
            self._go(Step.AGREED, trouble)
        else:
            self._ended(trouble)

    def _ended(self, trouble: Trouble) -> None:
        self.guest = None
        self._go(Step.REST, trouble)

    def cancel(self) -> None:
        """Give it up: nobody was let in."""
        self.guest, self._target = None, None
        super().cancel()
