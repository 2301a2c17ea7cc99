"""Letting a device in: its code is typed, the figures compared, what it may do chosen; on an owner's device only."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtWidgets import QWidget

from desktop.controls.buttons import Act, Link
from desktop.controls.words import Title, Words
from desktop.joining import LettingIn, Step
from desktop.pages.groups import GroupsShown, GroupsTyped
from desktop.pages.plain import PlainPage, focus_soon, key_row, main_key
from desktop.pages.roles import RolePick
from desktop.pages.secret import Emblem, Told
from desktop.session import Routes, Session
from desktop.sharing import Stage
from desktop.theme.halfmoons import MoonState
from desktop.theme.tokens import Role, Size
from forms.role import EVERYONE_READS
from forms.trouble import Trouble
from sync.exchange.troubles import CodeMistyped, NotFounded, NotOwner
from sync.membership.joining import read_code

__all__ = ["LetInPage"]

_GROUPS, _ACROSS = 13, 4


class LetInPage(PlainPage):
    """One step at a time. Leaving it before the last key lets nobody in."""

    def __init__(self, session: Session, routes: Routes) -> None:
        super().__init__()
        self.setObjectName("let_in")
        self.session, self.routes = session, routes
        self.letting = LettingIn(session, self)
        self.letting.changed.connect(self._follow)
        session.sharing.changed.connect(self._round_went_on)
        self.told, self.code, self.role = Told(), GroupsTyped("Code", _GROUPS, across=_ACROSS), RolePick()
        self.came = Words("")
        self._shown: Step | None = None
        self._typed_before, self._turned_away = "", False
        self._asked: tuple[QWidget, ...] = ()  # what rests while the place is asked
        session.sharing.look(self._follow)

    def leave(self) -> None:
        """Give up what is under way here."""
        if self.letting.step not in (Step.REST, Step.ADMITTING, Step.INSIDE):
            self.letting.cancel()

    def _follow(self) -> None:
        step, trouble = self.letting.step, self.letting.trouble
        if step not in (Step.ASKING, Step.ADMITTING) and step is not self._shown:
            self._put(step)
        busy = {Step.ASKING: "Looking for the device at the place.", Step.ADMITTING: "Letting it in."}.get(step, "")
        if trouble is not None:
            self._say(trouble)
        elif busy:
            self.told.progress(busy)
        else:
            self.told.progress("")
        self._enable(on=not busy)

    def _say(self, trouble: Trouble) -> None:
        self.told.trouble(trouble.sentence)
        if self.letting.step is Step.REST:
            self.code.boxes[0].setFocus()

    def _enable(self, *, on: bool) -> None:
        for widget in self._asked:
            widget.setEnabled(on)

    def _put(self, step: Step) -> None:
        steps: dict[Step, Callable[[], QWidget]] = {
            Step.REST: self._type, Step.COMPARE: self._digits, Step.AGREED: self._role, Step.INSIDE: self._inside,
        }  # fmt: skip
        self._shown = step
        self.column.clear()
        self.told, self._asked = Told(), ()
        seen = self.session.sharing.seen
        focus = steps[step]() if seen.owner or step is Step.INSIDE else self._not_here()
        self.column.finish()
        self.setFocusProxy(focus)
        focus_soon(focus)

    def _link(self, words: str, act: Callable[[], object]) -> Link:
        link = Link(words, size=Size.BASE)
        link.clicked.connect(lambda _on=False: act())
        return link

    def _key(self, words: str, act: Callable[[], object]) -> Act:
        key = main_key(words)
        key.clicked.connect(lambda _on=False: act())
        return key

    # --- steps ------------------------------------------------------------------------------------------------------

    def _not_here(self) -> QWidget:
        back = self._key("Who belongs", self.routes.members)
        none = self.session.sharing.seen.practice is None
        self.column.add(
            Emblem(MoonState.DONE, MoonState.NOT_DONE), Title("Not from this device", size=Size.GREETING),
            Words((NotFounded() if none else NotOwner()).sentence), key_row(back),
        )  # fmt: skip
        return back

    def _type(self) -> QWidget:
        typed, away = self._typed_before, self._turned_away
        self.code, self._turned_away = GroupsTyped("Code", _GROUPS, across=_ACROSS), False
        self.code.typed.connect(self._typing)
        self.code.entered.connect(self._look_for)
        go = self._key("Look for the device", self._look_for)
        self._asked = (*self.code.boxes, go)
        self.column.add(Title("Let a device in", size=Size.GREETING))
        if away:
            self.column.add(Words(
                "Turned away: nobody was let in, and that code is of no use any more. Somebody may stand in between. "
                "Make a new code on the new device, and try at another place if it happens again.",
                ink=Role.WELD, strong=True,
            ))  # fmt: skip
        self.column.add(
            Words("On the new device choose “Join devices that are there already” and this place: "
                  f"{self.session.sharing.seen.place or 'none yet'}. Then type here the code that it shows."),
            self.code, self.told, key_row(go, self._link("Back", self.routes.members)),
            Words("Capitals do not matter. O is read as 0, I and L as 1.", size=Size.SMALL, ink=Role.SOFT_INK),
        )  # fmt: skip
        if typed and not away:
            self.code.type(typed)
        return self.code

    def _typing(self) -> None:
        odd = self.code.odd()
        if not odd and self.code.whole() and read_code(self.code.text()) is None:
            odd = CodeMistyped().sentence
        self.told.trouble(odd)

    def _look_for(self) -> None:
        if self.letting.step is not Step.REST:
            return
        self._typing()
        if self.told.said():
            return
        self._typed_before = self.code.text()
        self.letting.type(self._typed_before)

    def _digits(self) -> QWidget:
        guest = self.letting.guest
        assert guest is not None
        figures = GroupsShown(guest.digits, across=3, size=Size.WEIGHT).take_focus()
        same, other = self._key("The same on both", self.letting.agree), Act("Not the same")
        other.clicked.connect(self._turn_away)
        self.column.add(
            Words(f"“{guest.label}” asks to come in.", ink=Role.SOFT_INK),
            Title("Are these figures the same on both screens?", size=Size.GREETING),
            figures,
            Words("Look at all six groups, or read them to one another on the phone. If one figure differs, somebody "
                  "stands in between: press Not the same, and nobody is let in."),
            self.told, key_row(same, other, self._link("Cancel", self.letting.cancel)),
        )  # fmt: skip
        return figures

    def _turn_away(self, *_pressed: object) -> None:
        self._typed_before, self._turned_away = "", True
        self.letting.refuse()

    def _role(self) -> QWidget:
        guest = self.letting.guest
        assert guest is not None
        self.role = RolePick()
        go = self._key("Let it in", self._admit)
        self._asked = (*self.role.keys.values(), go)
        self.column.add(
            Title(f"What may “{guest.label}” do?", size=Size.GREETING),
            Words(f"{EVERYONE_READS} It can be changed later."),
            self.role, self.told, key_row(go, self._link("Cancel", self.letting.cancel)),
        )  # fmt: skip
        return self.role

    def _admit(self) -> None:
        if self.role.role is None:
            self.told.trouble("Say what the device may do first.")
            self.role.setFocus()
            return
        self.letting.admit(self.role.role)

    def _inside(self) -> QWidget:
        guest = self.letting.guest
        assert guest is not None
        self._typed_before = ""
        done = self._key("Who belongs", self.routes.members)
        role = self.role.role
        said = f"{role.label}. {role.explained}" if role is not None else ""
        self.came = Words("", ink=Role.SOFT_INK)
        self.column.add(
            Title(f"“{guest.label}” is let in", size=Size.GREETING),
            Words(said, strong=True),
            Words("It takes the record in now. Both devices may go their ways; they meet at the place."), self.came,
            self.told, key_row(done, self._link("Let another device in", self._another)),
        )  # fmt: skip
        self._round_went_on()
        return done

    def _another(self) -> None:
        self.letting.cancel()

    def _round_went_on(self) -> None:
        """What this device has is sent, so that the new one finds it there."""
        sharing = self.session.sharing
        if self._shown is not Step.INSIDE:
            return
        words = f"{sharing.words} …" if sharing.going else ""
        if sharing.stage is Stage.DONE:
            words = "Everything this device has lies at the place."
        elif sharing.trouble is not None:
            words = sharing.trouble.sentence
        self.came.say(words)
