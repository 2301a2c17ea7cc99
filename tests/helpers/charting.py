"""A person charting a visit at the real window: goes to a question as one does, answers it, and looks what stands."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from PySide6.QtWidgets import QAbstractButton, QApplication, QLineEdit, QPlainTextEdit, QWidget

from desktop.controls.choice import RefStrip
from desktop.controls.question import Question
from desktop.controls.segments import Segments
from desktop.controls.typed import Typed
from desktop.draft import EntryBinding
from desktop.open_chart import OpenChart
from desktop.pages.charted import ChartPage
from desktop.pages.visit import VisitPage
from desktop.pages.visit_words import MOMENT_WORDS
from desktop.sheets.places import Stands
from forms.answers import Absence, Absent
from forms.ask import Kind, Need, Path, asks
from forms.form import Form, shown_asks
from forms.reading import read
from tests.helpers.person import K, Person, said

__all__ = ["Charter", "put_down"]


class Charter(Person):
    """`about` names the person charted by the words on the band's key."""

    stands = Stands()

    @property
    def visit(self) -> VisitPage:
        page = self.page
        assert isinstance(page, VisitPage), f"{page.objectName()} is in view"
        return page

    @property
    def home(self) -> OpenChart:
        page = self.page
        assert isinstance(page, ChartPage)
        return page.home

    # --- going about ------------------------------------------------------------------------------------------------

    def charts(self, name: str) -> None:
        """Press a person's key on the band."""
        keys = [one for one in self.visit.band.findChildren(QAbstractButton) if one.isVisible()]
        key = next(one for one in keys if one.text().split()[0] == name or one.text() == name)
        if not key.isChecked():
            self.click(key)

    def moment(self, moment: str) -> None:
        """Press a moment of the thread."""
        self.press(MOMENT_WORDS[moment], self.visit.thread_)

    def section(self, key: str, about: str = "") -> None:
        """Go to a section by the band, the thread and the tabs."""
        if about:
            self.charts(about)
        moment = key.partition(".")[0]
        if self.visit.spot.moment != moment:
            self.moment(moment)
        tabs = self.visit.middle.tabs
        if self.visit.middle.unfold.isVisible():
            self.click(self.visit.middle.unfold)
        if tabs is not None and key not in tabs.codes():
            self.click(tabs.button(key))

    def go_to(self, path: str, about: str = "") -> Question:
        """Go to the question of "form.field" and bring it into view."""
        form, _, field = path.partition(".")
        if isinstance(self.page, VisitPage):
            stand = self.stands.of(form, field)
            assert stand is not None, f"{path} stands nowhere"
            self.section(stand.section, about)
        elif self.page.objectName() == "family":
            self.sheet_of(form, field)
        return self.question(path)

    def sheet_of(self, form: str, field: str) -> None:
        """On the family's page, go to the sheet of an open person that asks a question."""
        stand = self.stands.of(form, field)
        for strip in self.window.findChildren(Segments):
            wanted = stand.section if stand is not None else ""
            if strip.isVisible() and wanted in strip.options() and wanted not in strip.codes():
                self.click(strip.button(wanted))
                return

    def question(self, path: str) -> Question:
        """The question of "form.field" on screen."""
        form, _, field = path.partition(".")
        found = [
            one for one in self.window.findChildren(Question)
            if one.isVisible() and one.field == field and one.binding.form.name == form
        ]  # fmt: skip
        assert len(found) == 1, f"{len(found)} questions of {path} are on screen:\n{said(self.window)}"
        return found[0]

    # --- answering --------------------------------------------------------------------------------------------------

    def answer(self, path: str, value: Any, about: str = "", *, pasted: bool = False) -> Question:
        """Go to a question and answer it: "form.field" or "form.field@left". Choices by code or by their words."""
        name, _, side = path.partition("@")
        question = self.go_to(name, about)
        slot = question.slots()[1 if side == "right" else 0]
        if isinstance(slot.control, Typed):
            self.type_answer(slot.control, str(value), pasted=pasted)
        else:
            self.pick(slot.control, value)
        return question

    def type_answer(self, control: Typed, text: str, *, pasted: bool = False) -> None:
        """Type into an answer's own box and leave it by Tab."""
        assert isinstance(control.box, QLineEdit | QPlainTextEdit)
        self.write(control.box, text, pasted=pasted)
        self.key(K.Key_Tab)

    def pick(self, control: QWidget, value: Any) -> None:
        """Click the answers of a strip."""
        strip = control.findChildren(Segments)[0]
        for one in value if isinstance(value, tuple) else (value,):
            code = {True: "yes", False: "no"}[one] if isinstance(one, bool) else str(one)
            if code not in strip.options():
                code = next(each for each in strip.options() if strip.button(each).text() == code)
            if isinstance(control, RefStrip):
                self.until(lambda code=code: strip.button(code).isVisible(), code)  # type: ignore[misc]
            if code not in strip.codes():
                self.click(strip.button(code))

    def value(self, path: str, about: str = "") -> Any:
        """What stands for a question, going there first."""
        name, _, side = path.partition("@")
        field = name.partition(".")[2]
        return self.go_to(name, about).binding.value(f"{field}@{side}" if side else field)

    def sentence(self, path: str) -> str:
        """What is said under a question on screen: why an answer was refused, or what is doubted."""
        question = self.question(path)
        return question.say.said() if question.say.isVisible() else ""

    def focused(self) -> tuple[str, str] | None:
        """The form and field of the question that has the focus."""
        widget = QApplication.focusWidget()
        while widget is not None and not isinstance(widget, Question):
            widget = widget.parentWidget()
        return (widget.binding.form.name, widget.field) if isinstance(widget, Question) else None

    def urgent(self) -> str:
        """What the panel of urgent signs says."""
        panel = self.visit.aside.urgent
        return said(panel) if panel.isVisible() else ""

    def figures(self) -> str:
        """What the live figures say."""
        return said(self.visit.aside.figures)

    def saved(self) -> None:
        """Wait until nothing typed is unsaved."""
        self.until(lambda: not self.page.pending(), "everything to be saved")
        self.until_idle()

    # --- the bulk ---------------------------------------------------------------------------------------------------

    def bulk(self, form: type[Form], *subjects: str, **typed: Any) -> str:
        """Fill what a story does not tell through the same bindings the controls write to; the entry's id."""
        return put_down(self.home, form, *subjects, **typed)


def _given(form: type[Form], path: Path, value: Any, zone: str) -> Any:
    ask = asks(form)[path.field]
    if not isinstance(value, str) or ask.kind in (Kind.CHOICE, Kind.REF):
        assert not isinstance(value, str) or not ask.options or value in ask.options, f"{form.name}.{path} {value}"
        return value
    return read(ask, value, zone=zone)


def put_down(
    home: OpenChart,
    form: type[Form],
    *subjects: str,
    entity: str | None = None,
    left: Mapping[str, Any] | None = None,
    right: Mapping[str, Any] | None = None,
    rest: Absence | None = None,
    **typed: Any,
) -> str:
    """Put answers into one entry of an open chart, text read as it would be typed. `rest` answers every other must."""
    repeats = form.repeats and entity is None
    binding = home.begin(form, *subjects) if repeats else home.binding(form, *subjects, entity=entity)
    for side, answers in (("", typed), ("@left", left or {}), ("@right", right or {})):
        for name, value in answers.items():
            path = Path.read(f"{name}{side}")
            binding.put(str(path), _given(form, path, value, home.zone))
    if rest is not None:
        _close(binding, rest)
    return binding.entity


def _close(binding: EntryBinding, rest: Absence) -> None:
    """Mark every must-answer still open with an absence; an answer can open further ones, so this goes round."""
    for _round in range(6):
        for path, ask, given in shown_asks(binding.answers()):
            if given is None and ask.need in (Need.MUST, Need.WHEN_OPEN):
                binding.put(str(path), Absent(rest, "not part of this visit" if rest is Absence.NOT_DONE else ""))
