"""One typed line of a family's paper log, read into the answers of a log line, or one sentence that says what to type.

The words are those of `forms.log_vocabulary`, in any order after the time. A number belongs to the word before it;
what could belong to two things is refused. A missing amount stays missing, and nothing is rounded: what was typed of a
number is kept as typed.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from difflib import get_close_matches
from typing import Any

from forms.answers import Moment
from forms.ask import Path, ask_of, asks
from forms.feeding_log import AT_BREAST, GIVEN_OTHERWISE, PUMPED, LogLine
from forms.form import is_open
from forms.infant import STOOL_COLOURS
from forms.log_spoken import Clock
from forms.log_times import ended, placed
from forms.log_tokens import Token, tokens
from forms.log_vocabulary import PHRASES
from forms.reading import read
from forms.trouble import Refused

__all__ = ["Setting", "TypedLine", "closed", "read_line"]

_SIDES = ("left", "right")
_NO_KIND = "Nothing says what this line was. Write l, r, both, bottle, pumped, diaper, or other with words."


@dataclass(frozen=True, slots=True)
class Setting:
    """What a line is read against.

    `before`: when the line before began. `volume`: the unit of an amount typed alone ("mL", "fl_oz", or "": then it is
    refused). `people`: ids of the family's parents by name. `feeder`: whose sides are meant where no one is named.
    """

    zone: str
    now: Moment
    before: Moment | None = None
    volume: str = "mL"
    people: Mapping[str, str] = field(default_factory=dict)
    feeder: str | None = None


@dataclass(frozen=True, slots=True)
class TypedLine:
    """The answers a line gives, and what is to be asked before they are kept ("" for nothing)."""

    line: LogLine
    question: str = ""


def read_line(typed: str, setting: Setting) -> TypedLine:
    """The answers of a typed line. Raises Refused with one plain sentence; nothing is then to be kept."""
    return _Reading(setting, tokens(typed)).done()


def closed(line: LogLine) -> str:
    """Why an answer of a line has no place beside its others, "" if each has one."""
    for name, ask in asks(LogLine).items():
        if getattr(line, name) is not None and not is_open(line, Path(name)):
            when = ask.when.field if ask.when is not None else ""
            opener = ask_of(LogLine, when)
            stands = opener.options.get(str(getattr(line, when)), "not written")
            return (
                f"“{ask.label}” does not go with “{opener.label}: {stands}”. Take it out, or write a line of its own."
            )
    return ""


@dataclass(slots=True)
class _Found:
    """What a line said so far. `opener` is the word that the next number belongs to."""

    kind: str = ""
    diaper: bool = False
    sides: list[str] = field(default_factory=list)
    milk: str = ""
    numbers: list[tuple[str, Token]] = field(default_factory=list)
    unknown: set[str] = field(default_factory=set)
    wet: bool | None = None
    stool: str = ""
    colour: str = ""
    spit: str = ""
    manner: str = ""
    small: bool = False
    more: dict[str, Any] = field(default_factory=dict)


class _Reading:
    """One line being read from left to right, then put together."""

    def __init__(self, setting: Setting, found: tuple[Token, ...]) -> None:
        self.setting, self.tokens = setting, found
        self.clock = Clock(setting.zone, setting.now, setting.before)
        self.found = _Found()
        self.opener = ""
        self.no = False
        self.at = 0
        self.last = ""

    def done(self) -> TypedLine:
        """Read all of it. Raises Refused."""
        while self.at < len(self.tokens):
            token = self.tokens[self.at]
            self.at += 1
            if not self.clock.takes(token, self.opener, self._next()):
                self._take(token)
            elif token.kind == "number" or token.word is not None:
                self.last = ""
        return self._together()

    def _next(self) -> Token | None:
        return self.tokens[self.at] if self.at < len(self.tokens) else None

    def _take(self, token: Token) -> None:
        before, self.last = self.last, ""
        match token.kind:
            case "note":
                self.found.more["note"] = token.text
            case "number":
                self._number(token)
            case "sign":
                self.last = before
                self._sign(token)
            case "word" if token.word is not None:
                self._said(token.word.part, token.word.code, token, before)
            case _:
                raise Refused(why=_unknown(token))

    def _waits_no_more(self) -> None:
        if self.opener in ("slept", "pain"):
            raise Refused(why=f"A number stands behind “{self.opener}”, or ? if it is not known.")

    def _number(self, token: Token) -> None:
        self.found.numbers.append((self.opener, token))
        self.opener = ""
        self.last = "number"

    def _sign(self, token: Token) -> None:
        if token.text == "?":
            if not self.opener:
                raise Refused(why="“?” stands for a time, minutes or an amount not known. Put it behind what it is of.")
            self.found.unknown.add(self.opener)
            self.opener = ""
        elif token.text not in "+&/":
            raise Refused(why=f"“{token.text}” stands between two times only, like 0210-0225.")

    def _said(self, part: str, code: str, token: Token, before: str) -> None:
        found = self.found
        if self.no and part not in ("wet", "stool", "spit"):
            raise Refused(why="“no” goes before wet, stool or spit.")
        match part:
            case "side" | "kind" | "milk" | "spit":
                self._waits_no_more()
                self._opens(part, code, before)
            case "slept" | "pain":
                self._waits_no_more()
                self.opener = part
            case "together" | "each":
                self._last_number(part, before)
            case "by" | "other":
                self._named(part)
            case "source":
                _once("source", found.more.get("source"), code)
                found.more["source"] = code
            case "no":
                self.no = True
            case _:
                self._nappy(part, code, token)

    def _opens(self, part: str, code: str, before: str) -> None:
        """A word that the next number belongs to."""
        found = self.found
        match part:
            case "side":
                self._side(code, before)
            case "spit":
                _once("spit", found.spit, "none" if self.no else "little")
                found.spit, self.opener = ("none", "") if self.no else ("little", "spit")
                self.no = False
            case "milk":
                _once("milk", found.milk, code)
                found.milk, self.opener = code, "amount"
            case _ if code == "diaper":
                found.diaper = True
            case _:
                _once("kind", found.kind, code)
                found.kind, self.opener = code, "amount"

    def _side(self, code: str, before: str) -> None:
        found = self.found
        if code in found.sides:
            raise Refused(why=f"The {code} side stands there twice. Write one line for each feed.")
        if before in _SIDES and code in _SIDES:
            joined = any(one.kind == "sign" for one in self.tokens[self.at - 2 : self.at - 1])
            following = self._next()
            if following is not None and following.kind == "number" and not joined:
                raise Refused(why="Say which minutes are of which side, like l 10 r 10, or both 20 for both together.")
            self.opener = "both" if joined else code
        else:
            self.opener = code
        found.sides.append(code)
        self.last = code

    def _last_number(self, part: str, before: str) -> None:
        if before != "number":
            raise Refused(why=f"“{part}” stands right behind a number, like 20 {part}.")
        _, token = self.found.numbers.pop()
        self.found.numbers += [("both", token)] if part == "together" else [(side, token) for side in _SIDES]

    def _named(self, part: str) -> None:
        if part == "by" and {"feeder", "feeder_other"} & set(self.found.more):
            raise Refused(why="Two people fed, as written. Write one line for each of them.")
        token = self._next()
        if token is not None and part == "by" and token.kind == "sign" and token.text == "?":
            self.at += 1
            self.found.more["feeder"] = None
            return
        if token is None or token.kind not in ("word", "quoted") or not token.text.strip():
            raise Refused(why=f"Say whom or what behind “{part}”; put several words into quotation marks.")
        self.at += 1
        if part == "other":
            _once("kind", self.found.kind, "other")
            self.found.kind = "other"
            self.found.more["kind_words"] = token.text
            return
        person = self.setting.people.get(token.plain)
        self.found.more["feeder" if person is not None else "feeder_other"] = person or token.text

    def _nappy(self, part: str, code: str, token: Token) -> None:
        found = self.found
        match part:
            case "wet":
                said = code == "yes" and not self.no
                if found.wet is not None and found.wet is not said:
                    raise Refused(why="The line says wet and not wet. Leave one of them.")
                found.wet = said
            case "stool":
                _once("stool", found.stool, "none" if self.no else "stool")
                found.stool = "none" if self.no else "stool"
                self._spit_is_said()
            case "colour":
                # "spit green" is no stool; "green stool" and "stool green" are one.
                if self.opener == "spit" and code == "green":
                    found.manner, self.opener = code, ""
                    return
                _once("colour", found.colour, code)
                found.colour = code
            case "small":
                found.small = True
            case "manner":
                _once("manner", found.manner, code)
                found.manner = code
                self._spit_is_said()
            case _:
                raise Refused(why=_unknown(token))
        self.no = False

    def _spit_is_said(self) -> None:
        self.opener = "" if self.opener == "spit" else self.opener

    # --- putting it together ----------------------------------------------------------------------------------------

    def _together(self) -> TypedLine:
        if self.no:
            raise Refused(why="“no” goes before wet, stool or spit.")
        self._waits_no_more()
        found, answers = self.found, dict(self.found.more)
        answers["kind"] = kind = self._kind()
        if found.milk:
            answers["milk"] = found.milk
        if found.wet is not None:
            answers["wet"] = found.wet
        if found.small:
            answers["stool_small"] = True
        answers |= self._stool() | self._spit()
        for opener, token in found.numbers:
            name = self._field(kind, opener, token)
            if name in answers:
                raise Refused(why=f"Two numbers stand for “{ask_of(LogLine, name).label}”. Write one of them.")
            answers[name] = self._read(name, token)
        self._no_stray(kind, answers)
        sided = kind in (*AT_BREAST, "tube_breast", PUMPED)
        if sided and self.setting.feeder and not {"feeder", "feeder_other"} & set(answers):
            answers["feeder"] = self.setting.feeder
        line = LogLine(**answers)
        if why := closed(line):
            raise Refused(why=why)
        return self._timed(line)

    def _timed(self, line: LogLine) -> TypedLine:
        began, until = self.clock.began(), self.clock.until
        if began is None:
            return TypedLine(line)
        setting = self.setting
        found = placed(began, setting.zone, setting.now, setting.before)
        made = replace(line, starts=found.at)
        if until is not None:
            end = ended(until, setting.zone, found.at)
            if end.at > setting.now.at:
                raise Refused(why="The end is still to come. Check both times, or leave the end out.")
            made = replace(made, ends=end)
        return TypedLine(made, found.question)

    def _kind(self) -> str:
        found = self.found
        if found.kind and found.sides and found.kind not in ("tube_breast", PUMPED):
            raise Refused(why="A side and another way to feed are two things. Write one line for each.")
        if found.kind:
            return found.kind
        if found.sides:
            return found.sides[0] if len(found.sides) == 1 else "both"
        if found.diaper or found.wet is not None or found.stool:
            return "diaper"
        raise Refused(why=_NO_KIND)

    def _stool(self) -> dict[str, Any]:
        found = self.found
        if found.colour and found.stool != "stool":
            colour = STOOL_COLOURS[found.colour].lower()
            raise Refused(why=f"Say what was {colour}: write stool in front of the colour.")
        if not found.stool:
            return {}
        return {"stool": "none" if found.stool == "none" else found.colour or "not_seen"}

    def _spit(self) -> dict[str, Any]:
        found = self.found
        if found.manner and found.spit != "little":
            raise Refused(why=f"Say what was “{found.manner}”: write spit {found.manner} for what was brought up.")
        return {"brought_up": found.manner or found.spit} if found.spit else {}

    def _field(self, kind: str, opener: str, token: Token) -> str:
        """The question a number answers."""
        if opener in ("slept", "pain"):
            return "slept" if opener == "slept" else "discomfort"
        volume = token.unit in ("mL", "fl_oz")
        if kind == PUMPED:
            return f"pumped_{opener}" if opener in _SIDES else "pumped_together"
        if kind in GIVEN_OTHERWISE and (volume or (opener not in (*_SIDES, "both") and token.unit != "min")):
            return "amount"
        if kind not in (*AT_BREAST, "tube_breast"):
            raise Refused(why=f"“{token.text}” belongs to nothing here. Write behind it what it is of, or take it out.")
        if opener in _SIDES:
            return f"minutes_{opener}"
        only = self.found.sides[0] if len(self.found.sides) == 1 else ""
        return f"minutes_{only}" if only in _SIDES else "minutes_together"

    def _read(self, name: str, token: Token) -> Any:
        ask, unit = ask_of(LogLine, name), token.unit
        if ask.units:
            if not unit and name != "slept":
                unit = self.setting.volume
            if unit and unit not in ask.units:
                raise Refused(why=f"“{ask.label}” is not taken in that unit. Check the unit behind {token.text}.")
            return read(ask, token.text, unit or None)
        if unit and not (unit == "min" and name.startswith("minutes")):
            raise Refused(why=f"“{ask.label}” is not taken in that unit. Check the unit behind {token.text}.")
        return read(ask, token.text)

    def _no_stray(self, kind: str, answers: Mapping[str, Any]) -> None:
        """Refuses what would otherwise be dropped, or be two things."""
        found = self.found
        part = "pumped" if kind == PUMPED else "minutes"
        sides = [side for side in found.sides if f"{part}_{side}" not in answers]
        loose = any(not opener or opener == "amount" for opener, _ in found.numbers)
        if loose and f"{part}_together" in answers and any(f"{part}_{side}" in answers for side in _SIDES):
            raise Refused(why="Write each number behind its side, like l 15 r 10.")
        if kind == PUMPED and len(sides) == 1 and len(found.sides) == 2 and sides[0] in found.unknown:
            sides = []  # the other side has its amount; this one stays missing, as said
        if kind in ("tube_breast", PUMPED) and sides and sides != ["both"]:
            like = f"write it, like {sides[0]} 15, or put the side into a note"
            raise Refused(why=f"Here a side is kept with its number only: {like}.")
        if found.diaper and kind != "diaper" and found.wet is None and not found.stool:
            raise Refused(why="Say what was in the diaper: wet, dry or stool.")


def _once(what: str, standing: Any, code: str) -> None:
    if standing and standing != code:
        raise Refused(why=f"The line says two things of the same kind ({what}). Write one line for each.")


def _unknown(token: Token) -> str:
    near = get_close_matches(token.plain, [" ".join(phrase) for phrase in PHRASES], 1, 0.7) if token.text else []
    if token.plain == "b":
        return "“b” could be both or bottle. Write both, or bo for a bottle."
    like = f"Perhaps “{near[0]}”; else put" if near else "Put"
    return f"“{token.text}” is no word of these lines. {like} it behind “note”, which takes anything."
