"""Founding, joining, who belongs, coming back: each screen in its states, over real stores that meet in a real folder."""

from __future__ import annotations

import tempfile
from collections.abc import Callable
from datetime import timedelta
from pathlib import Path

from PySide6.QtWidgets import QWidget

from desktop.pages.coming_back import ComeBackPage
from desktop.pages.joining import JoinPage
from desktop.pages.letting_in import LetInPage
from desktop.sharing import Stage
from forms.role import Role
from sync.exchange.troubles import CodeOld, CodeUsed, OlderRecord
from sync.transport.troubles import Unreachable
from tests.helpers.pairing import At, Pair, a_pair
from tests.helpers.program import wait_for
from tests.helpers.shelf import joined
from tests.helpers.two_devices import settled_all

__all__ = ["SCREENS"]


def _pair() -> Pair:
    return a_pair(Path(tempfile.mkdtemp(prefix="hearthside-picture-")))


def _still(pair: Pair, shown: At) -> QWidget:
    """The page of one device, taken out of its window; nothing is open behind it."""
    for one in (pair.owner, pair.new):
        settled_all(one.session)
        one.session.lane.last_call()
        one.session.lane.close()
        one.session.errands.close()
        again = one.session.sharing._again
        if again is not None:
            again.stop()
    page = shown.page
    shown.window.page = None
    page.setParent(None)
    page.setProperty("kept", pair)  # what it follows lives as long as it does
    return page


def _new(show: Callable[[Pair], None]) -> QWidget:
    pair = _pair()
    show(pair)
    return _still(pair, pair.new)


def _owner(show: Callable[[Pair], None]) -> QWidget:
    pair = _pair()
    show(pair)
    return _still(pair, pair.owner)


# --- the new device -------------------------------------------------------------------------------------------------


def _join(pair: Pair) -> JoinPage:
    pair.new.desk.join()
    page = pair.new.page
    assert isinstance(page, JoinPage)
    pair.new.until("Have an owner’s device beside you")
    return page


def _code(pair: Pair) -> JoinPage:
    page = _join(pair)
    page.place.device.setText("Tablet")
    page.place.address.setText(str(pair.place))
    page.place.keep.click()
    pair.new.until("Type this code on an owner’s device")
    page.joining._again.stop()
    return page


def _code_offline(pair: Pair) -> None:
    _code(pair).joining._astray(Unreachable(place="files.example.org"))


def _figures(pair: Pair) -> tuple[JoinPage, LetInPage]:
    new = _code(pair)
    asking = new.joining.asking
    assert asking is not None
    owner = _typed(pair, asking.shown)
    owner._look_for()
    pair.owner.until("Are these figures the same on both screens?")
    new.joining.look()
    pair.new.until("Are these figures the same on both screens?")
    return new, owner


def _agreed(pair: Pair) -> tuple[JoinPage, LetInPage]:
    new, owner = _figures(pair)
    new.joining.agree()
    settled_all(pair.new.session)
    wait_for(new.joining._again.isActive)
    new.joining._again.stop()
    return new, owner


def _ended(pair: Pair) -> None:
    _code(pair).joining._astray(CodeOld())


def _older(pair: Pair) -> None:
    _agreed(pair)[0].joining._astray(OlderRecord())


def _unlike(pair: Pair) -> None:
    _figures(pair)[0]._differ()


def _in(pair: Pair) -> JoinPage:
    new, owner = _agreed(pair)
    owner.letting.agree()
    owner.role.keys[Role.CONSULTANT].click()
    owner._admit()
    pair.owner.until("is let in")
    settled_all(pair.owner.session)
    new.joining.look()
    pair.new.until("Who charts on this device?")
    settled_all(pair.new.session)
    return new


def _arriving(pair: Pair) -> None:
    new, sharing = _in(pair), pair.new.session.sharing
    sharing.stage, sharing.words = Stage.GOING, "Receiving"
    new._arriving()
    sharing.stage = Stage.IDLE


def _not_all(pair: Pair) -> None:
    new, sharing = _in(pair), pair.new.session.sharing
    sharing.stage, sharing.trouble = Stage.OFFLINE, Unreachable(place="files.example.org")
    new._arriving()


# --- the owner ------------------------------------------------------------------------------------------------------


def _let_in(pair: Pair) -> LetInPage:
    pair.owner.desk.let_in()
    page = pair.owner.page
    assert isinstance(page, LetInPage)
    pair.owner.until("Then type here the code")
    return page


def _typed(pair: Pair, code: str) -> LetInPage:
    page = _let_in(pair)
    page.code.type(code)
    return page


def _used(pair: Pair) -> None:
    page = _typed(pair, "ABCD " * 13)
    page.letting._ended(CodeUsed())


def _role(pair: Pair) -> None:
    _agreed(pair)[1].letting.agree()
    pair.owner.page.role.keys[Role.STUDENT].click()  # type: ignore[attr-defined]


def _turned_away(pair: Pair) -> None:
    _figures(pair)[1]._turn_away()


# --- who belongs ----------------------------------------------------------------------------------------------------


def _others(pair: Pair) -> None:
    """A practice of three with one that was put out: the tablet is an owner, the phone has been silent."""
    from tests.helpers.shelf import device

    for name, role in (("Office desk", Role.OFFICE), ("Phone", Role.STUDENT), ("Old phone", Role.CONSULTANT)):
        joined(pair.owner.store, device(pair.place.parent, name).store, name, role)
    joined(pair.owner.store, pair.new.store, "Tablet", Role.CONSULTANT)
    sharing = pair.owner.session.sharing
    sharing.look()
    settled_all(pair.owner.session)
    chains = {one.label: chain for chain, one in sharing.seen.practice.roster.members.items()}  # type: ignore[union-attr]
    now = pair.owner.session.clock()
    heard = {chains["Tablet"]: now - timedelta(hours=2), chains["Phone"]: now - timedelta(days=5)}
    pair.owner.store.exchange().tell({f"heard {chain}": at.isoformat() for chain, at in heard.items()})
    sharing.put_out(chains["Old phone"])
    settled_all(pair.owner.session)


def _members(pair: Pair, asks: str = "", says: str = "") -> None:
    _others(pair)
    pair.owner.desk.members()
    pair.owner.until("devices belong")
    if asks:
        pair.owner.press(asks)
    if says:
        pair.owner.until(says)


def _members_lone(pair: Pair) -> None:
    pair.owner.desk.members()
    pair.owner.until("1 device belongs")


def _members_alone(pair: Pair) -> None:
    pair.new.desk.members()
    pair.new.until("Nobody else belongs")


def _members_office(pair: Pair) -> None:
    _others(pair)
    pair.new.session.sharing.look()
    settled_all(pair.new.session)
    pair.new.desk.members()
    pair.new.until("belong")


# --- coming back ----------------------------------------------------------------------------------------------------


def _back(pair: Pair) -> ComeBackPage:
    pair.new.desk.come_back()
    page = pair.new.page
    assert isinstance(page, ComeBackPage)
    pair.new.until("The sheet and the place where the devices met are enough.")
    return page


def _wrong_sheet(pair: Pair) -> None:
    page = _back(pair)
    page.words.setPlainText("8HYV P80A 8XWG TASR V6ZR V5C2 NRPB 0SMP FJXT")
    page.place.device.setText("New laptop")
    page.place.address.setText(str(pair.place))
    page.place.keep.click()
    wait_for(lambda: not page.place._busy)


def _lost(pair: Pair) -> None:
    page = _back(pair)
    page.words.setPlainText(pair.words)
    page.place.device.setText("New laptop")
    page.place.address.setText(str(pair.place))
    page.place.keep.click()
    pair.new.until("Which devices are lost?")


SCREENS: list[tuple[str, Callable[[], QWidget]]] = [
    ("join-place", lambda: _new(lambda pair: void(_join(pair)))),
    ("join-code", lambda: _new(lambda pair: void(_code(pair)))),
    ("join-code-offline", lambda: _new(_code_offline)),
    ("join-figures", lambda: _new(lambda pair: void(_figures(pair)))),
    ("join-unlike", lambda: _new(_unlike)),
    ("join-waiting", lambda: _new(lambda pair: void(_agreed(pair)))),
    ("join-ended", lambda: _new(_ended)),
    ("join-older", lambda: _new(_older)),
    ("join-arriving", lambda: _new(_arriving)),
    ("join-not-all", lambda: _new(_not_all)),
    ("join-who", lambda: _new(lambda pair: void(_in(pair)))),
    ("let-in-code", lambda: _owner(lambda pair: void(_let_in(pair)))),
    ("let-in-typing", lambda: _owner(lambda pair: void(_typed(pair, "4HK0 92MC TTQU")))),
    ("let-in-used", lambda: _owner(_used)),
    ("let-in-figures", lambda: _owner(lambda pair: void(_figures(pair)))),
    ("let-in-turned-away", lambda: _owner(_turned_away)),
    ("let-in-role", lambda: _owner(_role)),
    ("let-in-done", lambda: _owner(lambda pair: void(_in(pair)))),
    ("members", lambda: _owner(_members)),
    ("members-lone", lambda: _owner(_members_lone)),
    ("members-alone", lambda: _new(_members_alone)),
    ("members-no-owner", lambda: _new(_members_office)),
    ("members-role", lambda: _owner(lambda pair: _members(pair, "Change what Tablet may do", "What may “Tablet” do?"))),
    ("members-put-out", lambda: _owner(lambda pair: _members(pair, "Put Phone out", "Put “Phone” out"))),
    ("back-ask", lambda: _new(lambda pair: void(_back(pair)))),
    ("back-wrong-sheet", lambda: _new(_wrong_sheet)),
    ("back-lost", lambda: _new(_lost)),
]


def void(_shown: object) -> None:
    """What stands on the page is all that is wanted of it."""
