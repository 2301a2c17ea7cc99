"""Puts a look in force: fonts, palette and the style sheet, all made from tokens; may be called again at any time."""

from __future__ import annotations

from importlib.resources import files

from PySide6.QtCore import QByteArray
from PySide6.QtGui import QFontDatabase, QPalette
from PySide6.QtWidgets import QApplication, QStyleFactory

from desktop.theme.look import LOOK_PROPERTY, TEXT_FAMILY, TITLE_FAMILY, Look
from desktop.theme.tokens import Radius, Role, Size, Space, Stroke, Target

__all__ = ["apply_look", "load_fonts"]

_FONTS = ("AtkinsonHyperlegibleNext", "Literata")


def load_fonts() -> tuple[str, ...]:
    """Loads the bundled fonts of the window, once; the families now known."""
    known = set(QFontDatabase.families())
    if not {TEXT_FAMILY, TITLE_FAMILY} <= known:
        for file in sorted(files("sync.handoff").joinpath("fonts").iterdir(), key=lambda file: file.name):
            if file.name.endswith(".ttf") and file.name.startswith(_FONTS):
                QFontDatabase.addApplicationFontFromData(QByteArray(file.read_bytes()))
    return tuple(family for family in (TEXT_FAMILY, TITLE_FAMILY) if family in QFontDatabase.families())


def palette_of(look: Look) -> QPalette:
    """The palette: what Qt's own widgets paint with."""
    palette = QPalette()
    group = QPalette.ColorRole
    for role, token in (
        (group.Window, Role.PAGE),
        (group.Base, Role.WELL),
        (group.AlternateBase, Role.CARD),
        (group.Button, Role.CARD),
        (group.ToolTipBase, Role.CARD),
        (group.WindowText, Role.INK),
        (group.Text, Role.INK),
        (group.ButtonText, Role.INK),
        (group.ToolTipText, Role.INK),
        (group.PlaceholderText, Role.SOFT_INK),
        (group.Mid, Role.EDGE),
        (group.Dark, Role.EDGE),
        (group.Shadow, Role.EDGE),
        (group.Midlight, Role.WELL),
        (group.Light, Role.CARD),
        (group.Highlight, Role.ELDER),
        (group.Accent, Role.ELDER),
        (group.HighlightedText, Role.ON_FILL),
        (group.Link, Role.WOAD),
        (group.LinkVisited, Role.WOAD),
        (group.BrightText, Role.MADDER),
    ):
        palette.setColor(role, look.colour(token))
    for role in (group.WindowText, group.Text, group.ButtonText):
        palette.setColor(QPalette.ColorGroup.Disabled, role, look.colour(Role.SOFT_INK))
    return palette


def style_sheet(look: Look) -> str:
    """The style sheet for Qt's own widgets. Fonts are set on widgets, for only QFont knows the equal digits."""
    c = {role: look.theme[role] for role in Role}
    well, edge, elder, ink, card, page = (
        c[role] for role in (Role.WELL, Role.EDGE, Role.ELDER, Role.INK, Role.CARD, Role.PAGE)
    )
    line = Stroke.LINE
    return f"""
/* {look.theme.name} at {look.text} % */
QLineEdit, QPlainTextEdit, QTextEdit {{
    background: {well}; color: {ink}; border: {line}px solid {well}; border-bottom: {line}px solid {edge};
    border-top-left-radius: {Radius.EASED}px; border-top-right-radius: {Radius.EASED}px;
    padding: {Space.FINE}px {Space.SNUG}px; selection-background-color: {elder};
    selection-color: {c[Role.ON_FILL]}; placeholder-text-color: {c[Role.SOFT_INK]};
}}
QLineEdit:focus, QPlainTextEdit:focus, QTextEdit:focus {{ border: {line}px solid {elder}; }}
QLineEdit[grey="true"], QPlainTextEdit[grey="true"] {{ color: {c[Role.SOFT_INK]}; font-style: italic; }}
QLineEdit[trouble="true"], QPlainTextEdit[trouble="true"] {{ border-bottom: {line}px solid {c[Role.WELD]}; }}
QLineEdit[trouble="true"]:focus, QPlainTextEdit[trouble="true"]:focus {{ border: {line}px solid {elder}; }}
QGroupBox {{ border: 0; margin: 0; padding: 0; background: transparent; }}
QScrollArea, QScrollArea > QWidget > QWidget[reach="true"] {{ background: transparent; border: 0; }}
QScrollBar:vertical {{ background: transparent; width: {Space.SNUG}px; margin: 0; }}
QScrollBar::handle:vertical {{
    background: {edge}; min-height: {Target.TOUCH}px; border-radius: {Radius.EASED}px;
    margin: {Space.NONE}px {Space.FINE}px;
}}
QScrollBar::add-line, QScrollBar::sub-line {{ height: 0; width: 0; }}
QScrollBar::add-page, QScrollBar::sub-page {{ background: transparent; }}
QToolTip {{ background: {card}; color: {ink}; border: {Stroke.HAIR}px solid {edge}; padding: {Space.GAP}px; }}
QMenu {{ background: {card}; color: {ink}; border: {Stroke.HAIR}px solid {edge}; padding: {Space.FINE}px; }}
QMenu::item {{ padding: {Space.SNUG}px {Space.WIDE}px; }}
QMenu::item:selected {{ background: {elder}; color: {c[Role.ON_FILL]}; }}
QDialog, QMainWindow, QWidget[ground="page"] {{ background: {page}; }}
QWidget[ground="card"] {{ background: {card}; }}
QWidget[ground="well"] {{ background: {well}; }}
QPushButton[plain="true"] {{ border: 0; }}
"""


def apply_look(app: QApplication, look: Look) -> None:
    """Puts `look` in force for the whole window, at once."""
    load_fonts()
    app.setProperty(LOOK_PROPERTY, look)
    if app.style().objectName().lower() != "fusion" and not app.styleSheet():
        app.setStyle(QStyleFactory.create("Fusion"))
    app.setFont(look.font(Size.BASE))
    app.setPalette(palette_of(look))
    app.setStyleSheet(style_sheet(look))
