"""Joining through a target, step by step: each may be asked again, and none gives anything before the people agree.

New device: `ask_to_join`, then `heard` until the owner has greeted, then the digits are compared, then `come_in` until
the answer is there. Owner: `meet_guest` with the typed code, the digits are compared, then `admit` or `turn_away`.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from datetime import datetime

from storage.store import Store
from sync.exchange.acts_there import acts_there
from sync.exchange.known_ends import known_ends
from sync.exchange.practice import Practice, enter, let_in, own_member, practice_of
from sync.exchange.troubles import (
    AlreadyShared,
    AnswerChanged,
    CodeMistyped,
    CodeOld,
    CodeUsed,
    NoRequest,
    NotFounded,
    NotOwner,
    OlderRecord,
    RequestChanged,
    WasPutOut,
)
from sync.membership.acts import Role
from sync.membership.joining import (
    LASTS,
    Code,
    Given,
    Greeting,
    Request,
    answer,
    compared,
    greeting,
    new_code,
    read_answer,
    read_code,
    read_greeting,
    read_request,
    request,
)
from sync.membership.roster import Roster, roster
from sync.transport.port import Target
from sync.wire import names
from sync.wire.troubles import BadFile

__all__ = ["Asking", "Guest", "Heard", "admit", "ask_to_join", "come_in", "heard", "meet_guest", "turn_away"]


@dataclass(frozen=True, slots=True, repr=False)
class Asking:
    """A new device that waits for an owner. Kept in memory alone: it is of no use after ten minutes."""

    code: Code
    request: Request

    @property
    def shown(self) -> str:
        """The code as it is shown and typed."""
        return self.code.shown()

    @property
    def until(self) -> datetime:
        """When the code stops to hold."""
        return self.request.made + LASTS


@dataclass(frozen=True, slots=True, repr=False)
class Heard:
    """An owner has greeted: who, and the digits that have to be the same on both screens."""

    asking: Asking
    greeting: Greeting

    @property
    def digits(self) -> str:
        """Six groups of four."""
        return compared(self.asking.request, self.greeting)


@dataclass(frozen=True, slots=True, repr=False)
class Guest:
    """A new device before an owner: its label and public keys, and the digits to compare."""

    code: Code
    request: Request
    greeting: Greeting

    @property
    def label(self) -> str:
        """How the new device calls itself."""
        return self.request.member.label

    @property
    def digits(self) -> str:
        """Six groups of four."""
        return compared(self.request, self.greeting)


# --- the new device -------------------------------------------------------------------------------------------------


def ask_to_join(store: Store, target: Target, label: str, clock: Callable[[], datetime]) -> Asking:
    """Makes a code for one use and puts the request down.

    A device that goes on under a new name asks again too. Raises AlreadyShared for one that belongs to a practice.
    """
    practice = practice_of(store)
    if practice is not None and store.device in practice.roster.every:
        raise AlreadyShared
    member = own_member(store, label, Role.STUDENT)
    code = new_code(member)
    asked = request(member, code, clock())
    target.put(code.name_of("request"), asked.raw)
    return Asking(code, asked)


def heard(target: Target, asking: Asking, clock: Callable[[], datetime]) -> Heard | None:
    """The owner's greeting, or None while there is none. Raises CodeOld and AnswerChanged."""
    raw = target.get(asking.code.name_of("greeting"))
    if not raw:
        if clock() > asking.until:
            raise CodeOld
        return None
    try:
        return Heard(asking, read_greeting(raw, asking.code))
    except BadFile:
        raise AnswerChanged from None


def come_in(store: Store, target: Target, met: Heard, clock: Callable[[], datetime]) -> Practice | None:
    """Takes the owner's answer, once a person saw the same digits on both screens; None while there is none.

    Nothing is kept unless all of it holds. Raises CodeOld, AnswerChanged, OlderRecord and AlreadyShared.
    """
    raw = target.get(met.asking.code.name_of("answer"))
    if clock() > met.asking.until:
        raise CodeOld
    if not raw:
        return None
    try:
        given = read_answer(raw, met.asking.request, met.greeting, store.receiving_key())
    except BadFile:
        raise AnswerChanged from None
    before = practice_of(store)
    if before is not None and before.founding != given.founding:
        raise AlreadyShared
    acts = {act.hash: act for act in acts_there(target, given.founding)}
    if before is not None:
        acts |= {act.hash: act for act in before.acts}
    if given.founding not in acts or not acts.keys() >= set(given.heads):
        raise OlderRecord
    _must_name(store, met, roster(acts.values(), given.founding))
    return enter(store, acts.values(), given.founding, _pinned(given))


def _must_name(store: Store, met: Heard, found: Roster) -> None:
    """The acts name this device with its keys, and whoever greeted as an owner."""
    member, owner = found.members.get(store.device), found.members.get(met.greeting.chain)
    asked = met.asking.request.member
    if member is None or (member.sign, member.receive) != (asked.sign, asked.receive):
        raise AnswerChanged
    if owner is None or owner.role is not Role.OWNER or owner.sign != met.greeting.sign:
        raise AnswerChanged


def _pinned(given: Given) -> dict[str, str]:
    """Where each chain stood when the owner answered: what lies at the target may not end before, nor differ there."""
    return {
        name: value
        for chain, (number, made) in given.ends.items()
        for name, value in ((f"exists {chain}", str(number)), (f"pin {chain}", f"{number} {made}"))
    }


# --- the owner ------------------------------------------------------------------------------------------------------


def _as_owner(store: Store) -> Practice:
    practice = practice_of(store)
    if practice is None:
        raise NotFounded
    if store.device not in practice.roster.owners():
        raise NotOwner
    return practice


def meet_guest(store: Store, target: Target, typed: str, clock: Callable[[], datetime]) -> Guest:
    """Checks a typed code against the request that lies there, and greets; lets nobody in.

    Raises NotFounded, NotOwner, CodeMistyped, CodeUsed, NoRequest, RequestChanged, CodeOld and WasPutOut.
    """
    practice = _as_owner(store)
    code = read_code(typed)
    if code is None:
        raise CodeMistyped
    if _used(code) in store.exchange().facts() or target.get(code.name_of("answer")):
        raise CodeUsed
    raw = target.get(code.name_of("request"))
    if not raw:
        raise NoRequest
    try:
        asked = read_request(raw, code)
    except BadFile:
        raise RequestChanged from None
    if abs(clock() - asked.made) > LASTS:
        raise CodeOld
    known = practice.roster.every.get(asked.member.chain)
    if asked.member.chain in practice.roster.put_out:
        raise WasPutOut
    if known is not None and (known.sign, known.receive) != (asked.member.sign, asked.member.receive):
        raise RequestChanged
    return Guest(code, asked, _greeted(store, target, practice, code))


def _greeted(store: Store, target: Target, practice: Practice, code: Code) -> Greeting:
    """The greeting of this owner, put down once; another's under the same code ends it."""
    owner = practice.roster.members[store.device]
    raw = target.get(code.name_of("greeting"))
    if not raw:
        made = greeting(owner, practice.roster.repository, practice.founding, code)
        target.put(code.name_of("greeting"), made.raw)
        return made
    try:
        there = read_greeting(raw, code)
    except BadFile:
        raise CodeUsed from None
    if (there.chain, there.sign, there.founding) != (owner.chain, owner.sign, practice.founding):
        raise CodeUsed
    return there


def admit(store: Store, target: Target, guest: Guest, role: Role, clock: Callable[[], datetime]) -> Practice:
    """Lets the new device in with a role and hands it what it needs, once a person saw the same digits on both screens.

    Raises CodeUsed, CodeOld, NotOwner and NotFounded. Broken off, it may be asked again with the same guest.
    """
    practice, code = _as_owner(store), guest.code
    if _used(code) in store.exchange().facts():
        raise CodeUsed
    if abs(clock() - guest.request.made) > LASTS:
        raise CodeOld
    member = replace(guest.request.member, role=role)
    if member.chain not in practice.roster.members:
        practice = let_in(store, practice, member, clock)
    for act in practice.acts:
        name = names.act(act.by, act.seq)
        if not target.get(name):
            target.put(name, act.raw)
    if not target.get(code.name_of("answer")):
        roster_now = practice.roster
        given = Given(roster_now.repository, practice.founding, roster_now.heads, known_ends(store.exchange()))
        target.put(code.name_of("answer"), answer(given, guest.request, guest.greeting, store.signing_key()))
    store.exchange().tell({_used(code): "let in"})
    return practice


def turn_away(store: Store, guest: Guest) -> None:
    """Ends a code whose digits were not the same: it cannot be used again here. Nothing else changes."""
    store.exchange().tell({_used(guest.code): "turned away"})


def _used(code: Code) -> str:
    return f"code {code.name_of('request').rpartition('/')[2]}"
