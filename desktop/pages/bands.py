"""What always stands at the end of the band: light, text size and the lock."""

from __future__ import annotations

from PySide6.QtWidgets import QWidget

from desktop.controls.buttons import Act
from desktop.session import Routes, Session

__all__ = ["always", "home_key"]


def always(session: Session, routes: Routes) -> tuple[QWidget, ...]:
    """The keys for the theme and the lock."""
    light = Act("Day, Lamp, Night", key="Ctrl T")
    light.clicked.connect(session.settings.next_theme)
    lock = Act("Lock", key="Ctrl L")
    lock.clicked.connect(routes.lock)
    return light, lock


def home_key(routes: Routes) -> Act:
    """The key back to the caseload."""
    key = Act("Families")
    key.clicked.connect(routes.caseload)
    return key
