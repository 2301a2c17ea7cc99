"""A view of a shelf that goes wrong once at a chosen step: what a network, a stick or a cloud folder can do to a round."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field

from forms.trouble import Trouble
from tests.helpers.shelf import Shelf

__all__ = ["FAULTS", "Faulting", "Unreachable"]

Names = tuple[tuple[str, ...], tuple[str, ...]]


class Unreachable(Trouble):
    """The place does not answer."""

    template = "The place did not answer. Try again."


FAULTS = ("before", "after", "absent", "zero", "torn", "wrong", "swapped", "stale", "twice", "lost")
"""Refused; done and not answered; not there yet; without bytes; cut; other bytes; another name's; no listing; done twice;
said to be done and not done."""


@dataclass
class Faulting:
    """The shelf, with `fault(step)` naming what goes wrong at each step, if anything. `steps` counts them."""

    shelf: Shelf
    fault: Callable[[int], str]
    steps: int = 0
    met: list[str] = field(default_factory=list)

    @property
    def label(self) -> str:
        """The shelf's."""
        return self.shelf.label

    def _next(self) -> str:
        self.steps += 1
        found = self.fault(self.steps)
        if found:
            self.met.append(found)
        if found == "before":
            raise Unreachable
        return found

    def get(self, name: str) -> bytes | None:
        """The bytes, or what the fault makes of them."""
        fault, found = self._next(), self.shelf.get(name)
        if fault == "after":
            raise Unreachable
        if found is None or name == "repo.json":
            return found
        match fault:
            case "absent":
                return None
            case "zero":
                return b""
            case "torn":
                return found[: len(found) // 2]
            case "wrong":
                return found[:-1] + bytes([found[-1] ^ 1])
            case "swapped":
                return next((data for other, data in self.shelf.held.items() if other != name), found)
        return found

    def put(self, name: str, data: bytes) -> None:
        """Write, or what the fault makes of it."""
        self._written(self.shelf.put, name, data)

    def replace(self, name: str, data: bytes) -> None:
        """Write over, or what the fault makes of it."""
        self._written(self.shelf.replace, name, data)

    def _written(self, write: Callable[[str, bytes], None], name: str, data: bytes) -> None:
        fault = self._next()
        match fault:
            case "lost":
                return
            case "torn" | "zero":
                if name not in self.shelf.held and name != "repo.json":
                    self.shelf.held[name] = data[: len(data) // 2] if fault == "torn" else b""
                raise Unreachable
            case "twice":
                write(name, data)
        write(name, data)
        if fault == "after":
            raise Unreachable

    def names(self, folder: str) -> Names:
        """What lies below, or nothing while the listing is stale."""
        fault, found = self._next(), self.shelf.names(folder)
        if fault == "after":
            raise Unreachable
        return ((), ()) if fault in ("absent", "stale") else found
