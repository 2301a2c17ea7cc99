"""Who makes a picture: a key that names it for ever, its title, and how it is drawn for a width."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Final

from forms.pictures.drawing import Drawing

__all__ = ["NARROWEST", "WIDEST", "Maker"]

NARROWEST: Final = 90.0
"""The least width, in mm, a picture has to fit into: what the visit leaves of its page at 200 % text."""
WIDEST: Final = 180.0
"""The most, in mm: a page of either size between its margins."""


@dataclass(frozen=True, slots=True)
class Maker:
    """A picture that has something to show. `draw` takes mm from NARROWEST to WIDEST and draws that wide."""

    key: str
    title: str
    draw: Callable[[float], Drawing]
