"""One person of a family: tag, name and age in a line, and under it, when opened, who they are and whom they see."""

from __future__ import annotations

from PySide6.QtCore import QRectF, QSize
from PySide6.QtGui import QPainter, QPaintEvent
from PySide6.QtWidgets import QHBoxLayout, QWidget

from desktop.controls.buttons import Link
from desktop.controls.layouts import Stack
from desktop.controls.segments import Segments
from desktop.controls.words import Title, Words
from desktop.open_chart import OpenChart
from desktop.sheets.laid import Laid, lay
from desktop.sheets.moments import every_section
from desktop.sheets.persons import age_words, full_name, tag_of
from desktop.sheets.sheet import Section
from desktop.theme.halfmoons import TagShape, paint_tag
from desktop.theme.look import Dressed, look
from desktop.theme.tokens import Role, Size, Space, Target
from forms.chart import Entry
from forms.consent import Consent, Release
from forms.form import Form
from forms.people import CareTeam, Family, InfantIdentity, ParentIdentity
from forms.practice import Provider

__all__ = ["PersonRow", "Tag", "home_sheet"]


class Tag(Dressed, QWidget):
    """A person's shape in its colour; the name stands beside it."""

    def __init__(self, shape: TagShape, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._shape = shape
        self.setFixedSize(look().px(Target.TAG), look().px(Target.TAG))

    def show_shape(self, shape: TagShape) -> None:
        """Show another shape."""
        self._shape = shape
        self.update()

    def dress(self) -> None:
        self.setFixedSize(look().px(Target.TAG), look().px(Target.TAG))

    def sizeHint(self) -> QSize:
        return self.size()

    def paintEvent(self, event: QPaintEvent) -> None:
        paint_tag(QPainter(self), QRectF(self.rect()), self._shape, look())


def _about(form: type[Form]) -> tuple[Section, ...]:
    """The sections that ask about a person between visits too."""
    wanted = (form, CareTeam, Consent, Release)
    found = [section for section in every_section() if section.form in wanted]
    return tuple(sorted(found, key=lambda section: wanted.index(section.form)))


def home_sheet(home: OpenChart) -> Laid:
    """The sheet of the home: address, getting in, signal."""
    section = next(section for section in every_section() if section.form is Family)
    return lay(section, home, "")


class PersonRow(Stack):
    """The row; `turn` opens it or closes it."""

    def __init__(self, home: OpenChart, person: str) -> None:
        super().__init__(between=Space.SNUG)
        self.setContentsMargins(0, Space.SNUG, 0, Space.SNUG)
        self.home, self.person = home, person
        self.open = False
        line = QWidget()
        across = QHBoxLayout(line)
        across.setContentsMargins(0, 0, 0, 0)
        across.setSpacing(Space.PAD)
        self.tag = Tag(tag_of(home, person))
        across.addWidget(self.tag)
        named = Stack(between=Space.NONE)
        self.name, self.about = Title("", size=Size.JOT), Words("", size=Size.SMALL, ink=Role.SOFT_INK)
        named.add(self.name, self.about)
        across.addWidget(named, 1)
        self.link = Link("Open", size=Size.BASE)
        self.link.clicked.connect(self.turn)
        across.addWidget(self.link)
        self.add(line)
        self._inside: QWidget | None = None
        self.refresh()

    def refresh(self) -> None:
        """Write name, age and providers anew."""
        self.tag.show_shape(tag_of(self.home, self.person))
        self.name.say(full_name(self.home, self.person))
        providers = _providers(self.home, self.person)
        self.about.say("; ".join(part for part in (age_words(self.home, self.person), providers) if part))
        self.link.setAccessibleName(f"{'Close' if self.open else 'Open'} {full_name(self.home, self.person)}")

    def turn(self) -> None:
        """Open the person's sheets in place, or close them."""
        self.open = not self.open
        self.link.say("Close" if self.open else "Open")
        if self._inside is not None:
            self._inside.hide()
            self._inside.deleteLater()
            self._inside = None
            return
        form = InfantIdentity if self.person in self.home.infants() else ParentIdentity
        self._inside = _Sheets(self.home, self.person, _about(form))
        self.add(self._inside)


def _providers(home: OpenChart, person: str) -> str:
    team = home.chart.one(CareTeam, person)
    kept = team.primary_provider
    entry: Entry[Form] | None = home.chart.by_id(kept) if isinstance(kept, str) else None
    if entry is None or not isinstance(entry.answers, Provider):
        return "no primary provider written"
    name = entry.answers.full_name
    return f"sees {name}" if isinstance(name, str) else "sees a provider without a name"


class _Sheets(Stack):
    """The sections about one person, one at a time, picked by a strip."""

    def __init__(self, home: OpenChart, person: str, sections: tuple[Section, ...]) -> None:
        super().__init__(between=Space.PAD)
        self._home, self._person = home, person
        self._sections = {section.key: section for section in sections}
        self.strip = Segments("What about", {section.key: section.title for section in sections})
        self.strip.picked.connect(self.show_section)
        self.add(self.strip)
        self._page: Laid | None = None
        self.show_section(sections[0].key)

    def show_section(self, key: str) -> None:
        """Show one section; what was typed in the one before is kept."""
        if self._page is not None:
            self._page.commit()
            self._page.hide()
            self._page.deleteLater()
        self.strip.show_codes((key,))
        self._page = lay(self._sections[key], self._home, self._person)
        self.add(self._page)
