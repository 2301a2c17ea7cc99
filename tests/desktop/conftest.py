"""What every test of the window starts from: the bundled fonts and the Day look."""

from __future__ import annotations

from collections.abc import Callable, Iterator

import pytest
from PySide6.QtWidgets import QApplication

from desktop.theme.apply import apply_look
from desktop.theme.look import Look
from desktop.theme.tokens import DAY


@pytest.fixture(autouse=True)
def day(qapp: QApplication) -> Iterator[None]:
    apply_look(qapp, Look(DAY))
    yield
    apply_look(qapp, Look(DAY))


@pytest.fixture
def wear(qapp: QApplication) -> Callable[[Look], None]:
    """Puts another look in force for one test."""
    return lambda look: apply_look(qapp, look)
