"""Controls for a choice: one of several, any of several, a short scale, yes or no, and people or entries."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

from PySide6.QtWidgets import QLineEdit, QVBoxLayout, QWidget

from desktop.controls.binding import Binding
from desktop.controls.control import Control
from desktop.controls.layouts import spaced
from desktop.controls.segments import Segments
from desktop.controls.words import Words
from desktop.theme.tokens import Role, Size, Space, Target
from forms.ask import Ask, Kind
from forms.newer import choice_words

__all__ = ["ChoiceStrip", "RefStrip", "Scale", "YesNo", "ends_words"]

_MANY_TO_FIND = 8  # from here on a box to find by name stands above the strip


def _bounds(ask: Ask) -> tuple[int, int]:
    return ask.low or 0, 10 if ask.high is None else ask.high


def ends_words(ask: Ask) -> str:
    """The words at the ends of a scale: "0 none, 10 worst"; nothing for a scale without them."""
    return ", ".join(f"{at} {words}" for at, words in zip(_bounds(ask), ask.ends, strict=True) if words)


class _StripControl(Control):
    """A control that is one strip."""

    def __init__(self, binding: Binding, path: str, parent: QWidget | None = None) -> None:
        super().__init__(binding, path, parent)
        self._column = QVBoxLayout(self)
        spaced(self._column, Space.FINE)
        self.strip = self._strip()
        self.strip.picked.connect(self._pick)
        self._column.addWidget(self.strip)
        self.setFocusProxy(self.strip)
        self._seal()
        self.refresh()

    def _strip(self) -> Segments:
        return Segments(self.name, self.ask.options, several=self.ask.kind is Kind.MANY)

    def _pick(self, code: str) -> None:
        self.put(None if code in self.strip.codes() else code)

    def show_grey(self, *, grey: bool) -> None:
        self.strip.show_grey(grey=grey)

    def refresh(self) -> None:
        known = self.known()
        self.strip.show_codes(() if known is None else (str(known),))


class ChoiceStrip(_StripControl):
    """One of several codes, or any of several. A code that stands alone takes the others off, and they it."""

    _strange: Mapping[str, str] = MappingProxyType({})

    def _pick(self, code: str) -> None:
        if self.ask.kind is not Kind.MANY:
            super()._pick(code)
            return
        picked = set(self.known() or ())
        if code in picked:
            picked.remove(code)
        elif code in self.ask.alone:
            picked = {code}
        else:
            picked = (picked - set(self.ask.alone)) | {code}
        known = tuple(each for each in self.ask.options if each in picked)
        self.put((*known, *sorted(picked - set(known))) or None)

    def refresh(self) -> None:
        known = self.known()
        picked = known if isinstance(known, tuple) else () if known is None else (known,)
        strange = {code: choice_words(self.ask, code) for code in picked if code not in self.ask.options}
        self._strange = {**self._strange, **strange}  # stays on offer when it is put out, so that it can be taken back
        self.strip.set_options({**self.ask.options, **self._strange})
        self.strip.show_codes(picked)


class Scale(_StripControl):
    """A whole number on a short scale; the words at its ends stand below, for two sides once above both."""

    def __init__(self, binding: Binding, path: str, parent: QWidget | None = None) -> None:
        super().__init__(binding, path, parent)
        if self.path.side is None and (ends := ends_words(self.ask)):
            self._column.addWidget(Words(ends, size=Size.SMALL, ink=Role.SOFT_INK))

    def _strip(self) -> Segments:
        low, high = _bounds(self.ask)
        return Segments(self.name, {str(at): str(at) for at in range(low, high + 1)}, even=True)

    def _pick(self, code: str) -> None:
        self.put(None if code in self.strip.codes() else int(code))


class YesNo(_StripControl):
    """Yes or no."""

    def _strip(self) -> Segments:
        return Segments(self.name, {"yes": "Yes", "no": "No"})

    def _pick(self, code: str) -> None:
        self.put(None if code in self.strip.codes() else code == "yes")

    def refresh(self) -> None:
        known = self.known()
        self.strip.show_codes(() if known is None else ("yes" if known else "no",))


class RefStrip(_StripControl):
    """People, providers or other entries, by name; with many of them a box above finds by what is typed."""

    def __init__(self, binding: Binding, path: str, parent: QWidget | None = None) -> None:
        super().__init__(binding, path, parent)
        self.finder = QLineEdit()
        self.finder.setPlaceholderText("Find by name")
        self.finder.setAccessibleName(f"Find in {self.name}")
        self.finder.setMinimumHeight(Target.TOUCH)
        self.finder.textChanged.connect(self._narrow)
        self._none = Words("Nobody is on this list yet.", ink=Role.SOFT_INK)
        self._column.insertWidget(0, self.finder)
        self._column.addWidget(self._none)
        self._narrow("")

    def _strip(self) -> Segments:
        return Segments(self.name, dict(self.binding.choices(str(self.path))), several=self.ask.kind is Kind.REFS)

    def _pick(self, code: str) -> None:
        if self.ask.kind is not Kind.REFS:
            super()._pick(code)
            return
        picked = tuple(self.known() or ())
        self.put((tuple(each for each in picked if each != code) if code in picked else (*picked, code)) or None)

    def refresh(self) -> None:
        known = self.known()
        picked = known if isinstance(known, tuple) else () if known is None else (known,)
        offered = dict(self.binding.choices(str(self.path)))
        gone = {each: "an entry that is not here" for each in picked if each not in offered}
        self.strip.set_options(offered | gone)
        self.strip.show_codes(picked)
        if hasattr(self, "finder"):
            self._narrow(self.finder.text())

    def _narrow(self, typed: str) -> None:
        """Show the names that hold what is typed; what is picked always shows."""
        offered = self.strip.options()
        self.finder.setVisible(len(offered) >= _MANY_TO_FIND)
        self._none.setVisible(not offered)
        self.strip.setVisible(bool(offered))
        for code in offered:
            segment = self.strip.button(code)
            segment.setVisible(typed.casefold() in segment.text().casefold() or segment.isChecked())
