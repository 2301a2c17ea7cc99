"""Joining devices that are there already: the place, the code, the figures to compare, the record, who charts here."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial

from PySide6.QtCore import QTimer
from PySide6.QtWidgets import QWidget

from desktop.begins import Begins
from desktop.controls.buttons import Act, Link
from desktop.controls.words import Title, Words
from desktop.joining import Joining, Step
from desktop.pages.first_round import FirstRound, WhoCharts
from desktop.pages.groups import GroupsShown
from desktop.pages.plain import PlainPage, focus_soon, key_row, main_key
from desktop.pages.secret import Emblem, Told
from desktop.pages.sync_place import PlaceAsked
from desktop.session import Routes, Session
from desktop.sharing import Stage
from desktop.theme.halfmoons import MoonState
from desktop.theme.tokens import Role, Size

__all__ = ["JoinPage", "left_words"]

_TICK_MS = 1_000
_LAST_SECONDS = 60


def left_words(seconds: int) -> str:
    """How long a code still holds."""
    return f"It holds for {seconds // 60} min {seconds % 60:02d} s more."


class JoinPage(PlainPage):
    """One step at a time. Leaving it gives the pairing up; nothing is kept before both screens showed the same."""

    def __init__(self, session: Session, routes: Routes) -> None:
        super().__init__()
        self.setObjectName("join")
        self.session, self.routes = session, routes
        self.joining = Joining(session, self)
        self.joining.changed.connect(self._follow)
        self._shown = ""
        self.told, self.left = Told(), Words("")
        self._count = QTimer(self)
        self._count.setInterval(_TICK_MS)
        self._count.timeout.connect(self.tick)
        session.sharing.look(self._begin)

    def _begin(self) -> None:
        sharing = self.session.sharing
        if sharing.seen.practice is None:
            self._follow()
            return
        self._arriving()
        if sharing.seen.reached is None and not sharing.going:
            sharing.round()

    def leave(self) -> None:
        """Give up what is under way here; a round that brings the record goes on by itself."""
        if self.joining.step not in (Step.REST, Step.INSIDE):
            self.joining.cancel()
        self._count.stop()

    # --- steps ------------------------------------------------------------------------------------------------------

    def _follow(self) -> None:
        step, trouble = self.joining.step, self.joining.trouble
        shown = f"{step.name} {trouble is not None}" if step is Step.REST else step.name
        if shown != self._shown:
            self._shown = shown
            self._put(step)
        if trouble is not None:
            self.told.trouble(trouble.sentence)
        elif step is not Step.REST:
            self.told.trouble("")

    def _put(self, step: Step) -> None:
        made: dict[Step, Callable[[], QWidget]] = {
            Step.SHOWN: self._code, Step.COMPARE: self._digits, Step.AGREED: self._waiting,
        }  # fmt: skip
        self._count.stop()
        if step is Step.INSIDE:
            self._arriving()
            return
        self.column.clear()
        self.told, self.left = Told(), Words("")
        if step is Step.ASKING:
            focus = self._asking()
        elif step is Step.REST:
            focus = self._refused() if self.joining.trouble is not None else self._place()
        else:
            focus = made[step]()
        self.column.finish()
        self.setFocusProxy(focus)
        focus_soon(focus)

    def _way_out(self) -> Link:
        alone = self.session.begins is Begins.JOIN
        link = Link("Use this device alone instead" if alone else "Back to Sync", size=Size.BASE)
        link.clicked.connect(self._out)
        return link

    def _out(self, *_pressed: object) -> None:
        self.joining.cancel()
        if self.session.begins is Begins.JOIN:
            self.session.alone(self.routes.first_steps)
        else:
            self.routes.sync()

    def _cancel_link(self) -> Link:
        link = Link("Cancel", size=Size.BASE)
        link.clicked.connect(self._cancel)
        return link

    def _cancel(self, *_pressed: object) -> None:
        self.joining.cancel()
        self.session.sharing.look(self._begin)  # the owner may have answered in that very moment

    def _place(self) -> QWidget:
        self.place = PlaceAsked(self.joining.ask, self.session.folder.parent, "Show a code")
        self.place.named = True
        self.place.refresh()
        self.column.add(
            Title("Join devices that are there already", size=Size.GREETING),
            Words(
                "Have an owner’s device beside you, or an owner on the phone. Both devices have to reach the same "
                "place. Nothing is taken in before both screens have shown the same figures."
            ),
            self.told, self.place, key_row(self._way_out()),
        )  # fmt: skip
        return self.place.device

    def _asking(self) -> QWidget:
        cancel = self._cancel_link()
        self.column.add(
            Emblem(MoonState.NOT_DONE, MoonState.NOT_DONE), Title("Asking the place", size=Size.GREETING), self.told,
            key_row(cancel),
        )  # fmt: skip
        return cancel

    def _code(self) -> QWidget:
        asking = self.joining.asking
        assert asking is not None
        code = GroupsShown(asking.shown, across=4).take_focus()
        self.column.add(
            Title("Type this code on an owner’s device", size=Size.GREETING),
            Words("There: Sync, then Let a device in. This screen goes on by itself once the owner has typed it."),
            code, self.left, self.told,
            Words("Locking this device ends the code; a new one is made at once.", size=Size.SMALL, ink=Role.SOFT_INK),
            key_row(self._cancel_link()),
        )  # fmt: skip
        self.tick()
        self._count.start()
        return code

    def tick(self) -> None:
        """How long the code still holds."""
        seconds = self.joining.seconds_left()
        self.left.take_ink(Role.WELD if seconds <= _LAST_SECONDS else Role.SOFT_INK)
        self.left.say(left_words(seconds) if seconds else "Its ten minutes are over.")

    def _digits(self) -> QWidget:
        met = self.joining.met
        assert met is not None
        figures = GroupsShown(met.digits, across=3, size=Size.WEIGHT).take_focus()
        same, other = main_key("The same on both"), Act("Not the same")
        same.clicked.connect(self.joining.agree)
        other.clicked.connect(self._differ)
        self.column.add(
            Words(f"“{met.greeting.label}” answers.", ink=Role.SOFT_INK),
            Title("Are these figures the same on both screens?", size=Size.GREETING),
            figures,
            Words("Look at all six groups, or read them to one another on the phone. If one figure differs, somebody "
                  "stands in between: nothing is taken in then."),
            self.told, key_row(same, other),
        )  # fmt: skip
        return figures

    def _differ(self, *_pressed: object) -> None:
        self.joining.cancel()
        self.told.trouble(
            "Nothing was taken in. Say on the owner’s device that they differ too, then make a new code here."
        )

    def _waiting(self) -> QWidget:
        cancel = self._cancel_link()
        self.column.add(
            Emblem(MoonState.DONE, MoonState.NOT_DONE),
            Title("Now the owner lets this device in", size=Size.GREETING),
            Words("The owner says that the figures are the same, and what this device may do."),
            self.left, self.told, key_row(cancel),
        )  # fmt: skip
        self.tick()
        self._count.start()
        return cancel

    def _refused(self) -> QWidget:
        again = main_key("Make a new code")
        again.clicked.connect(self.joining.ask_again)
        other = Link("Another place or name", size=Size.BASE)
        other.clicked.connect(self._cancel)
        self.column.add(
            Emblem(MoonState.NOT_DONE, MoonState.NOT_DONE), Title("Not joined", size=Size.GREETING), self.told,
            key_row(again, other, self._way_out()),
        )  # fmt: skip
        return again

    # --- inside -----------------------------------------------------------------------------------------------------

    def _arriving(self) -> None:
        self.column.clear()
        if self.session.sharing.stage is Stage.DONE:
            self._who()
            return
        coming = FirstRound(self.session, "This device belongs; the record is coming")
        coming.arrived.connect(partial(QTimer.singleShot, 0, self, self._who))
        self.column.add(coming)
        self.column.finish()

    def _who(self) -> None:
        self.column.clear()
        who = WhoCharts(self.session)
        who.said.connect(self.routes.caseload)
        self.column.add(who)
        self.column.finish()
