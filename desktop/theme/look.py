"""The look in force: one theme at one text size, as colours and fonts that Qt can paint with.

The look is kept as a property of the one QApplication, so that every painter asks the same place and nothing is kept
in a module. `desktop.theme.apply` puts it there; Qt then tells every widget with a StyleChange event, on which a
`Dressed` widget dresses itself again.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from typing import TYPE_CHECKING, Any

from PySide6.QtCore import QEvent
from PySide6.QtGui import QColor, QFont, QShowEvent
from PySide6.QtWidgets import QApplication, QWidget

from desktop.theme.tokens import DAY, Role, Size, Theme, mixed

__all__ = ["LOOK_PROPERTY", "TEXT_FAMILY", "TITLE_FAMILY", "Dressed", "Look", "look"]

LOOK_PROPERTY = "hearthside_look"
TEXT_FAMILY = "Atkinson Hyperlegible Next"
TITLE_FAMILY = "Literata"


@dataclass(frozen=True, slots=True)
class Look:
    """A theme at a text size of `text` percent (100 to 200)."""

    theme: Theme = DAY
    text: int = 100

    def __post_init__(self) -> None:
        """Raises ValueError for a text size outside 100 to 200 %."""
        if not 100 <= self.text <= 200:
            raise ValueError("text is shown at 100 to 200 %")

    def colour(self, role: Role) -> QColor:
        """The colour of a role."""
        return QColor(self.theme[role])

    def tint(self, over: Role, under: Role, percent: int) -> QColor:
        """An opaque tint: `percent` of one role on another. For grounds and rules that carry no meaning."""
        return QColor(mixed(self.theme[over], self.theme[under], Fraction(percent, 100)))

    def px(self, at_100: int) -> int:
        """A length that grows with the text."""
        return round(at_100 * self.text / 100)

    def font(self, size: Size = Size.BASE, *, strong: bool = False, title: bool = False) -> QFont:
        """A font of the scale: text with equal digits, or the semibold title face."""
        font = QFont(TITLE_FAMILY if title else TEXT_FAMILY)
        font.setPixelSize(self.px(size))
        font.setWeight(QFont.Weight.DemiBold if strong or title else QFont.Weight.Normal)
        if not title:
            font.setFeature(QFont.Tag("tnum"), 1)
        return font


def look() -> Look:
    """The look in force; Day at 100 % until one is applied."""
    app = QApplication.instance()
    kept: Any = app.property(LOOK_PROPERTY) if app is not None else None
    return kept if isinstance(kept, Look) else Look()


if TYPE_CHECKING:
    _Base = QWidget
else:
    _Base = object


class Dressed(_Base):
    """Mixed in before a QWidget class: `dress` is called again whenever the theme or the text size changes.

    A hidden widget does not hear of a change; it dresses again when it is shown.
    """

    def dress(self) -> None:
        """Take fonts and palette from the look in force."""

    def showEvent(self, event: QShowEvent) -> None:
        """Dress again: what was put on while hidden may have been taken off again by the style sheet."""
        super().showEvent(event)
        self.dress()

    def changeEvent(self, event: QEvent) -> None:
        """Dress again on a change of style."""
        super().changeEvent(event)
        if event.type() == QEvent.Type.StyleChange:
            self.dress()
            self.updateGeometry()
            self.update()
