"""Where one stands in a visit: the moment, the person, the section, the question. Kept sealed, to come back to it."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Any

import orjson

__all__ = ["Spot", "secret_name"]


@dataclass
class Spot:
    """Where one stands. `sections` remembers, for each moment and person, the section last shown there."""

    moment: str = "arrive"
    who: str = ""
    sections: dict[str, str] = field(default_factory=dict)
    form: str = ""
    field_: str = ""

    def section(self, moment: str, who: str) -> str:
        """The section last shown for a person in a moment, or ""."""
        return self.sections.get(f"{moment} {who}", "")

    def show(self, section: str) -> None:
        """Remember the section now shown."""
        self.sections[f"{self.moment} {self.who}"] = section

    def kept(self) -> bytes:
        """The bytes that `read` makes a spot of again."""
        return orjson.dumps(
            {"moment": self.moment, "who": self.who, "sections": self.sections, "at": [self.form, self.field_]}
        )

    @classmethod
    def read(cls, kept: bytes | None) -> Spot | None:
        """The spot that was kept; None where there is none, or where it was written by a version that knew others."""
        if kept is None:
            return None
        try:
            found: Any = orjson.loads(kept)
            form, at = found["at"]
            return cls(str(found["moment"]), str(found["who"]), dict(found["sections"]), str(form), str(at))
        except (orjson.JSONDecodeError, KeyError, TypeError, ValueError):
            return None


def secret_name(visit: str) -> str:
    """The name under which the spot of a visit is sealed in the store."""
    return f"spot of visit {visit}"
