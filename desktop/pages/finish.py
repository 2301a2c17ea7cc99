"""The finish list: everything still blank, by moment and page, each line a way to it; and what blocks the signature."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from functools import partial
from types import MappingProxyType

from PySide6.QtCore import QTimer
from PySide6.QtWidgets import QWidget

from desktop.controls.buttons import Act, ActKind, Link
from desktop.controls.layouts import Beside, Flow, Stack
from desktop.controls.words import Rule, Title, Words
from desktop.open_chart import OpenChart
from desktop.pages.supervisors import Supervisors
from desktop.sheets.in_view import InView, Jump
from desktop.sheets.moments import sections
from desktop.sheets.persons import full_name
from desktop.sheets.places import Stand, Stands
from desktop.sheets.sheet import MOMENTS, Section
from desktop.theme.icons import Icon
from desktop.theme.tokens import Role, Size, Space
from forms.answers import Side
from forms.clinical.prompts import open_prompts
from forms.feed import FeedObservation
from forms.impression import Impression
from forms.note import Blank, Level, Why, blanks
from forms.prompts_left import prompts_left
from forms.referral import Referral

__all__ = ["FinishList", "blank_words", "jump_to", "summary"]

_SETTLE_MS = 120
_WORDS: Mapping[str, str] = MappingProxyType({
    "arrive": "Arrive", "story": "Story", "weigh": "Weigh", "feed": "Feed", "look": "Look", "plan": "Plan",
    "leave": "Leave",
})  # fmt: skip
_NOTHING = "Nothing is left blank."
_PLAIN = (Why.BLANK, Why.MISSING, Why.UNFILED)
_AFTER: Mapping[Why, str] = MappingProxyType(
    {
        Why.CONFLICT: "two answers stand",
        Why.WRONG: "cannot be so",
        Why.UNFILED: "",
        Why.UNFILLED: "a blank to fill",
        Why.CARRIED: "brought forward, not gone through",
    }
)


def blank_words(blank: Blank) -> str:
    """A blank in a few words: its question, the side, and what is the matter where it is no plain blank."""
    side = blank.path.side if blank.path is not None else None
    said = [blank.label, {Side.LEFT: "left", Side.RIGHT: "right", None: ""}[side], _AFTER.get(blank.why, "")]
    return ", ".join(part for part in said if part)


def _whom(home: OpenChart, blank: Blank) -> str:
    """Whose sheet the blank is filled on: the baby of a pair, else the one person, else the first there is."""
    people = (*home.infants(), *home.parents())
    own = [one for one in (*reversed(blank.subjects), blank.entry) if one in people]
    return own[0] if own else people[0] if people else ""


def _stand(blank: Blank, stands: Stands) -> Stand:
    found = stands.of(blank.form, blank.path.field if blank.path is not None else None)
    return found if found is not None else Stand(str(blank.step), "")


def jump_to(home: OpenChart, blank: Blank, stands: Stands) -> None:
    """Bring the feed, the note or the letter a blank belongs to into view, and go to its question."""
    view, who, stand = InView.of(home), _whom(home, blank), _stand(blank, stands)
    if blank.entry is not None:
        if blank.form == FeedObservation.name:
            view.keep(FeedObservation, who, blank.entry, *blank.subjects)
        elif blank.form == Referral.name:
            view.keep(Referral, who, blank.entry)
    if blank.form == Impression.name:
        view.keep(Impression, who, *blank.subjects)
    if blank.path is not None and blank.path.side is not None:
        view.turn(blank.path.side)
    view.jumped.emit(Jump(stand.moment, who, stand.section, blank.form, blank.entry, blank.path))


def summary(found: Iterable[Blank]) -> str:
    """How much is left, in one sentence."""
    levels = [blank.level for blank in found]
    must, should = levels.count(Level.MUST), levels.count(Level.SHOULD)
    if not must and not should:
        return _NOTHING
    first = "Nothing must be answered before signing" if not must else f"{must} must be answered before signing"
    return f"{first}; {should} more could be." if should else f"{first}."


def _top(found: Iterable[Blank], missing: str, *, signed: bool) -> str:
    """How it stands with the visit, and what is not written down of its students, in one sentence."""
    if signed:
        plain, joined = "This visit is signed. Nothing of it is left to answer.", "This visit is signed"
    else:
        plain = summary(found)
        joined = "Nothing of the visit is left blank" if plain == _NOTHING else plain.removesuffix(".")
    return f"{joined}; {missing}." if missing else plain


class FinishList(Stack):
    """What is left, worked out anew whenever an answer changes; in words that never carry an answer."""

    def __init__(self, home: OpenChart) -> None:
        super().__init__(between=Space.PAD)
        self.home, self.stands = home, Stands()
        self._titles = {
            s.key: s for m in MOMENTS for w in (*home.infants(), *home.parents()) for s in sections(m, home, w)
        }
        self._shown: tuple[object, ...] = ()
        self.top = Words("", size=Size.JOT, strong=True)
        self._inside = Stack(between=Space.PAD)
        self.supervisors = Supervisors(home)
        self.add(self.top, self.supervisors, self._inside)
        self._settle = QTimer(self)
        self._settle.setSingleShot(True)
        self._settle.setInterval(_SETTLE_MS)
        self._settle.timeout.connect(self.refresh)
        home.changed.connect(self._settle.start)
        self.refresh()

    def refresh(self) -> None:
        """Work out what is left, and show it if it is another list than before."""
        chart, now = self.home.chart, self.home.clock()
        self.supervisors.refresh()
        found, urgent = (*blanks(chart), *prompts_left(chart, now)), open_prompts(chart, now)
        missing, signed = self.supervisors.missing(), chart.signed()
        shown = (found, urgent, missing, signed)
        if shown == self._shown:
            return
        self._shown = shown
        self._inside.clear()
        self.top.say(_top(found, missing, signed=signed is not None))
        if signed is not None:
            return
        for person in dict.fromkeys(prompt.person for prompt in urgent):
            count = sum(prompt.person == person for prompt in urgent)
            self._inside.add(self._urgent(person, count))
        for moment in MOMENTS:
            here = [blank for blank in found if _stand(blank, self.stands).moment == moment]
            if here:
                self._inside.add(self._moment(moment, here))
        if not urgent and not any(blank.level is Level.MUST for blank in found):
            sign = Act("Go on to sign", kind=ActKind.MAIN, icon=Icon.JUMP)
            sign.clicked.connect(lambda: InView.of(self.home).jumped.emit(Jump("leave", "", "leave.sign")))
            row = QWidget()
            Flow(row).addWidget(sign)
            self._inside.add(row)

    def _urgent(self, person: str, count: int) -> QWidget:
        across = QWidget()
        beside = Beside(across, middle=True)
        signs = "1 urgent sign" if count == 1 else f"{count} urgent signs"
        name = full_name(self.home, person)
        beside.addWidget(Words(f"{name}: {signs} with nothing written down about it yet", ink=Role.MADDER, strong=True))
        go = Act("Write it down", kind=ActKind.URGENT)
        go.setAccessibleName(f"Write down what was done about the urgent signs of {name}")
        go.clicked.connect(lambda: InView.of(self.home).jumped.emit(Jump("plan", person, "plan.urgent")))
        beside.addWidget(go)
        return across

    def _moment(self, moment: str, found: list[Blank]) -> QWidget:
        part = Stack(between=Space.GAP)
        must = sum(blank.level is Level.MUST for blank in found)
        part.add(Title(_WORDS[moment], size=Size.JOT), Rule(strong=True))
        pages: dict[tuple[str, str], list[Blank]] = {}
        for blank in found:
            pages.setdefault((_stand(blank, self.stands).section, self._about(blank)), []).append(blank)
        for (section, about), lines in pages.items():
            part.add(self._page(self._titles.get(section), about, lines), Rule())
        part.setAccessibleName(f"{_WORDS[moment]}: {must} must be answered")
        return part

    def _about(self, blank: Blank) -> str:
        names = [self.home.names(one) for one in blank.subjects if self.home.chart.by_id(one) is not None]
        if not names and blank.entry in (*self.home.infants(), *self.home.parents()):
            names = [self.home.names(blank.entry)]
        return " feeding ".join(names) if len(names) == 2 else ", ".join(names)

    def _page(self, section: Section | None, about: str, lines: list[Blank]) -> QWidget:
        part = Stack(between=Space.NONE)
        title = section.title if section is not None else ""
        part.add(Words(", ".join(words for words in (about, title) if words), strong=True))
        for level, lead in ((Level.MUST, ""), (Level.SHOULD, "Could still be answered")):
            of_level = [blank for blank in lines if blank.level is level]
            if not of_level:
                continue
            if lead:
                part.add(Words(lead, size=Size.SMALL, ink=Role.SOFT_INK))
            row = QWidget()
            flow = Flow(row, gap=Space.PAD, row_gap=Space.GAP)
            for blank in of_level:
                flow.addWidget(self._line(blank, about, title))
            part.add(row)
        return part

    def _line(self, blank: Blank, about: str, title: str) -> Link:
        words = blank_words(blank)
        ink = Role.WOAD if blank.why in _PLAIN else Role.WELD
        link = Link(words, size=Size.BASE, ink=ink)
        link.setAccessibleName(", ".join(part for part in (words, about, title) if part))
        link.clicked.connect(partial(self._go, blank))
        return link

    def _go(self, blank: Blank, *_pressed: object) -> None:
        jump_to(self.home, blank, self.stands)
