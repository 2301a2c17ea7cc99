"""A seeded fault: one line made wrong, and the tests that promise it is right."""

from __future__ import annotations

from dataclasses import dataclass

__all__ = ["Fault"]


@dataclass(frozen=True)
class Fault:
    """One line made wrong, and the tests that promise it is right."""

    name: str
    file: str
    right: str
    wrong: str
    guards: tuple[str, ...]
