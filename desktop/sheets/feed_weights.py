"""Weights around a feed: before and after each side on the big pad, and the transfer worked out at once."""

from __future__ import annotations

from collections.abc import Iterator

from PySide6.QtWidgets import QHBoxLayout, QWidget

from desktop.controls.buttons import Act, Link
from desktop.controls.layouts import Beside, Flow, Stack, spaced
from desktop.controls.moons import Half
from desktop.controls.question import Question
from desktop.controls.shown import clock
from desktop.controls.words import Rule, Words
from desktop.draft import EntryBinding
from desktop.open_chart import OpenChart
from desktop.sheets.columns import Columns
from desktop.sheets.doubt import asked_about
from desktop.sheets.feed_head import Unchosen
from desktop.sheets.laid import Laid
from desktop.sheets.listing import StrikeAsked
from desktop.sheets.persons import full_name
from desktop.sheets.sheet import Compose, Here
from desktop.theme.halfmoons import MoonState
from desktop.theme.icons import Icon
from desktop.theme.tokens import Role, Size, Space
from forms.answers import Conflicted, Moment, Quantity, Side
from forms.chart import Entry
from forms.clinical.result import NoFigure
from forms.clinical.transfer import FeedTransfer, at_true_density, feed_transfer
from forms.practice import Practice
from forms.units import UNITS, alone
from forms.weight import WeightReading

__all__ = ["FeedWeights", "around_feed", "transfer_lines"]

_POINTS = ("before", "after")
_SAME = ("state", "source", "scale_name", "scale_step", "by_whom")
_METHOD = (
    "After less before, in grams, read as millilitres one to one. The scale’s step says how far each weight may be "
    "off. Nothing is corrected: a feed reads 1 to 5 % low for the water baby gives off (IOM, 1991)."
)


def around_feed(home: OpenChart, feed: str) -> tuple[Entry[WeightReading], ...]:
    """Every weight that points to a feed, oldest first."""
    return tuple(entry for entry in home.chart.all(WeightReading) if entry.answers.feed == feed)


def transfer_lines(home: OpenChart, feed: str) -> FeedTransfer:
    """What the weights of one feed come to."""
    return feed_transfer(entry.answers for entry in around_feed(home, feed))


def _reading(c: Compose) -> None:
    c.ask("weight", "taken")
    c.widget(asked_about("weight", "taken"))
    c.row("state", "source")
    c.row("scale_name", "scale_step")
    c.ask("by_whom", "repeat")


def _reading_after(c: Compose) -> None:
    _reading(c)
    c.ask("diaper_changed", "same_clothes", "spit_up")


def _figure(reading: WeightReading) -> str:
    match reading.weight:
        case Quantity(base=base, unit=unit):
            return alone(base, unit)
        case Conflicted():
            return "two weights stand"
    return "not written yet"


def _under(reading: WeightReading) -> str:
    """The other unit, and the time of day."""
    said = []
    if isinstance(reading.weight, Quantity) and UNITS[reading.weight.unit].other:
        said.append(alone(reading.weight.base, UNITS[reading.weight.unit].other))
    if isinstance(reading.taken, Moment):
        said.append(f"at {clock(reading.taken.local())}")
    return ", ".join(said)


class _Slot(Stack):
    """One weight: its figure in large, and the pad and the rest of its questions when it is opened."""

    def __init__(self, weights: FeedWeights, side: str, point: str) -> None:
        super().__init__(between=Space.GAP)
        self.weights, self.side, self.point = weights, side, point
        self.entity: str | None = None
        self.label = Words(point.capitalize(), size=Size.SMALL, ink=Role.SOFT_INK)
        self.figure = Words("", size=Size.FIGURE, strong=True)
        self.when = Words("", size=Size.SMALL, ink=Role.SOFT_INK)
        self.open_key = Act("Weigh", icon=Icon.SCALE)
        self.open_key.setAccessibleName(f"Weigh {point}, {side}")
        self.change = Link("Change")
        for key in (self.open_key, self.change):
            key.clicked.connect(self.toggle)
        self.strike = Link("Strike out")
        self.strike.clicked.connect(self._ask_why)
        keys = QWidget()
        flow = Flow(keys)
        for key in (self.open_key, self.change, self.strike):
            flow.addWidget(key)
        self.add(self.label, self.figure, self.when, keys)
        self.page: Laid | None = None

    def show_entry(self, entry: Entry[WeightReading] | None) -> None:
        """Show what stands."""
        self.entity = entry.id if entry is not None else self.entity if self.page is not None else None
        self.strike.setVisible(entry is not None and not self.weights.sealed)
        self.figure.say(_figure(entry.answers) if entry is not None else "no weight")
        self.figure.take_ink(Role.INK if entry is not None else Role.SOFT_INK)
        self.when.say(_under(entry.answers) if entry is not None else "")
        self.when.setVisible(bool(self.when.said()))
        self.open_key.setVisible(entry is None and self.page is None and not self.weights.sealed)
        self.change.setVisible(entry is not None or self.page is not None)
        self.change.say("Close" if self.page is not None else "Look" if self.weights.sealed else "Change")

    def toggle(self) -> None:
        """Open the weight's questions over the whole width, or close them."""
        self.weights.turn_to(self)

    def _ask_why(self) -> None:
        if self.entity is not None:
            self.add(StrikeAsked(self.weights.home, self.entity))
            self.strike.setEnabled(False)


class FeedWeights(Stack):
    """Both sides of a feed, or the whole feed, weighed before and after; what each comes to stands under it."""

    opens = WeightReading.name

    def __init__(self, here: Here) -> None:
        super().__init__(between=Space.PAD)
        self.home, self._here = here.home, here
        self.feed = here.binding.entity
        self.slots: dict[tuple[str, str], _Slot] = {}
        self._results: dict[str, Words] = {}
        self._halves: dict[str, Half] = {}
        self._opened: _Slot | None = None
        self._pad = Stack(between=Space.PAD)
        self.total = Words("", size=Size.FIGURE, strong=True)
        self.cautions = Words("", ink=Role.WELD, strong=True)
        self.method = Words(_METHOD, size=Size.SMALL, ink=Role.SOFT_INK)
        if isinstance(here.binding, Unchosen):
            return
        sides = QWidget()
        columns = Columns(sides)
        left, right = here.binding.person_words()
        columns.addWidget(self._side(Side.LEFT, left))
        columns.addWidget(self._side(Side.RIGHT, right))
        self.add(sides, self._pad, Rule(), self._sum())
        self._others = Stack(between=Space.PAD)
        self._more = Link("Weighed only around the whole feed, or around a bottle")
        self._more.clicked.connect(self._show_others)
        self.add(self._more, self._others)
        here.home.changed.connect(self.refresh)
        here.home.reloaded.connect(self.refresh)
        self.refresh()

    @property
    def sealed(self) -> bool:
        """Whether the visit is signed."""
        return self._here.binding.sealed()

    @property
    def baby(self) -> str:
        """The baby that was weighed."""
        return self._here.binding.draft.place.subjects[1]

    def _side(self, side: str, words: str) -> QWidget:
        part = Stack(between=Space.GAP)
        head = QWidget()
        across = QHBoxLayout(head)
        spaced(across, Space.SNUG)
        if side in tuple(Side):
            half = self._halves[side] = Half(Side(side), words)
            across.addWidget(half)
        across.addWidget(Words(words, strong=True), 1)
        pair = QWidget()
        columns = Columns(pair, gap=Space.PAD)
        for point in _POINTS:
            slot = self.slots[side, point] = _Slot(self, side, point)
            columns.addWidget(slot)
        self._results[side] = Words("", size=Size.JOT, strong=True)
        part.add(head, pair, self._results[side])
        return part

    def _sum(self) -> QWidget:
        part = Stack(between=Space.FINE)
        how = Link("How it is worked out")
        how.clicked.connect(lambda: self.method.setVisible(self.method.isHidden()))
        self.method.hide()
        part.add(Words("Taken at this feed", ink=Role.SOFT_INK), self.total, self.cautions)
        part.add(Words("One feed is one sample.", size=Size.SMALL, ink=Role.SOFT_INK), how, self.method)
        return part

    def _show_others(self) -> None:
        self._more.hide()
        for side, words in (("both", "The whole feed"), ("bottle", "A bottle")):
            if (side, "before") not in self.slots:
                self._others.add(self._side(side, words))
        self.refresh()

    def _held(self) -> Iterator[tuple[tuple[str, str], Entry[WeightReading]]]:
        for entry in around_feed(self.home, self.feed):
            side, point = entry.answers.feed_side, entry.answers.feed_point
            if isinstance(side, str) and isinstance(point, str):
                yield (side, point), entry

    def refresh(self) -> None:
        """Show what stands, and work it out anew."""
        held = dict(self._held())
        if any(side in ("both", "bottle") for side, _ in held) and not self._more.isHidden():
            self._show_others()
            return
        for key, slot in self.slots.items():
            slot.show_entry(held.get(key))
        for name, half in self._halves.items():
            weighed = all((name, point) in held for point in _POINTS)
            half.show_state(MoonState.DONE if weighed else MoonState.NOT_DONE)
        found = transfer_lines(self.home, self.feed)
        for side, words in self._results.items():
            said = [pair.text for pair in found.pairs if pair.side == side]
            said += [gap.why for name, gap in found.missing if name == side and not said]
            words.say("; ".join(said))
            words.setVisible(bool(said))
        nothing = not found.pairs and not found.missing
        self.total.say("not weighed" if nothing else found.text)
        self.total.take_ink(Role.SOFT_INK if isinstance(found.total, NoFigure) else Role.INK)
        cautions = dict.fromkeys(caution for pair in found.counted for caution in pair.cautions)
        self.cautions.say(f"Look at this: {'; '.join(cautions)}." if cautions else "")
        self.cautions.setVisible(bool(cautions))
        if not isinstance(found.total, NoFigure) and found.total > 0:
            self.method.say(f"{_METHOD} At the density of milk the same weight is {at_true_density(found.total)}.")

    def begin(self) -> None:
        """Open the first weight that is not written yet."""
        free = next((slot for slot in self.slots.values() if slot.entity is None), None)
        if free is not None and not self.sealed:
            self.turn_to(free)

    def open(self, entity: str) -> None:
        """Open a weight of this feed."""
        for slot in self.slots.values():
            if slot.entity == entity and self._opened is not slot:
                self.turn_to(slot)
                return

    def question(self, form: str, field: str) -> Question | None:
        """The question of a field in the weight that is open, or None."""
        page = self._opened.page if self._opened is not None else None
        return page.question(form, field) if page is not None else None

    def commit(self) -> None:
        """Keep what is still only on screen."""
        if self._opened is not None and self._opened.page is not None:
            self._opened.page.commit()

    def turn_to(self, slot: _Slot) -> None:
        """Open one weight, or close it if it is the open one. What was typed is kept."""
        again = self._opened is slot
        self.commit()
        if self._opened is not None:
            self._opened.page, self._opened = None, None
        self._pad.clear()
        if again:
            self.refresh()
            return
        binding = self._binding(slot)
        page = Laid(self.home, WeightReading, self.baby, binding)
        head = QWidget()
        beside = Beside(head, middle=True)
        beside.addWidget(Words(self._whose(slot), size=Size.JOT, strong=True))
        close = Act("Done")
        close.clicked.connect(slot.toggle)
        beside.addWidget(close)
        self._pad.add(Rule(strong=True), head)
        same = self._same_key(slot, binding)
        if same is not None:
            self._pad.add(same)
        (_reading_after if slot.point == "after" else _reading)(page)
        self._pad.add(page)
        slot.page, self._opened = page, slot
        self.refresh()
        question = page.question(WeightReading.name, "weight")
        if question is not None:
            question.controls()[0].setFocus()

    def _whose(self, slot: _Slot) -> str:
        left, right = self._here.binding.person_words()
        side = {"left": left, "right": right, "both": "the whole feed", "bottle": "the bottle"}[slot.side]
        return f"{full_name(self.home, self.baby)}, {slot.point} {side}"

    def _binding(self, slot: _Slot) -> EntryBinding:
        if slot.entity is not None:
            return self.home.binding(WeightReading, self.baby, entity=slot.entity)
        begun = self.home.begin(WeightReading, self.baby)
        slot.entity = begun.entity

        def belongs(path: str) -> None:
            """With its first answer the weight is tied to the feed, its side, and before or after."""
            if path not in ("feed", "feed_side", "feed_point") and begun.value("feed") is None:
                begun.put("feed", self.feed)
                begun.put("feed_side", slot.side)
                begun.put("feed_point", slot.point)

        begun.changed.connect(belongs)
        return begun

    def _same_key(self, slot: _Slot, binding: EntryBinding) -> QWidget | None:
        """One key that copies how the last weight of this feed was taken, or the usual scale; nothing unasked."""
        others = [e for e in around_feed(self.home, self.feed) if e.id != binding.entity]
        words, small, known = "Weighed the same way", "scale, clothes and hands as the weight before", {}
        if others:
            known = {name: getattr(others[-1].answers, name) for name in _SAME}
        else:
            practice = self.home.chart.one(Practice)
            words, small = "On the practice’s scale", str(practice.scale_name)
            known = {"scale_name": practice.scale_name, "scale_step": practice.scale_step}
        known = {name: value for name, value in known.items() if isinstance(value, str | Quantity)}
        if self.sealed or not known:
            return None

        def copy() -> None:
            for name, value in known.items():
                if binding.value(name) is None:
                    binding.put(name, value)

        act = Act(words, small=small)
        act.clicked.connect(copy)
        row = QWidget()
        Flow(row).addWidget(act)
        return row
