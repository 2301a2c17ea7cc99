"""Slow weight gain after the early days: how many centile spaces a baby has fallen from its place at birth.

Source: NICE NG75 (2017), 1.2.1, as quoted by two pages that agree on "or more" (S2). The guideline's word for it,
faltering, stays in the code and stands on no paper of the family's.
"""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from typing import Final

from forms.units import decimal

__all__ = ["FROM_DAY", "SOURCE", "Faltering", "below_second", "faltering", "spaces_fallen", "spaces_for_concern"]

SOURCE = "NICE NG75 2017, 1.2.1, as quoted (S2); one centile space is two thirds of an SD (M)"

FROM_DAY: Final = 14  # days of age: until then a fall is early weight loss, which has rules of its own (house rule, P)

# The lines of a nine-centile chart lie two thirds of an SD apart (from memory, M). Counted in these steps from the
# median the 9th is two below, the 91st two above and the 2nd three below (C).
SPACE: Final = Fraction(2, 3)
NINTH: Final = -2 * SPACE
NINETY_FIRST: Final = 2 * SPACE
SECOND: Final = -3 * SPACE

# Spaces at which the guideline is concerned, by where the birth weight stood (S2).
BELOW_NINTH: Final = 1
NINTH_TO_NINETY_FIRST: Final = 2
ABOVE_NINETY_FIRST: Final = 3


def spaces_fallen(z_birth: Decimal, z_now: Decimal) -> Fraction:
    """Centile spaces between the z-score at birth and now, exact; negative for a rise. `(birth - now) / (2/3)`."""
    return (Fraction(z_birth) - Fraction(z_now)) / SPACE


def spaces_for_concern(z_birth: Decimal) -> int:
    """How many spaces of fall the guideline names for this place at birth: 1 below the 9th centile, 3 above the 91st.

    From the 9th to the 91st, both included, it is 2.
    """
    if z_birth < NINTH:
        return BELOW_NINTH
    return ABOVE_NINETY_FIRST if z_birth > NINETY_FIRST else NINTH_TO_NINETY_FIRST


def below_second(z_now: Decimal) -> bool:
    """Whether a weight lies below the 2nd centile line, whatever the birth weight."""
    return z_now < SECOND


@dataclass(frozen=True, slots=True)
class Faltering:
    """The guideline's concern: a fall of `spaces` where `needed` are named, a place below the 2nd centile, or both.

    `spaces` and `needed` are None when there is no score at birth to compare with.
    """

    spaces: Fraction | None
    needed: int | None
    below_second: bool

    @property
    def words(self) -> str:
        """What was seen: "2.25 centile spaces below the place at birth", "below the 2nd centile"."""
        said = []
        if self.spaces is not None and self.needed is not None and self.spaces >= self.needed:
            said.append(f"{decimal(self.spaces, 2)} centile spaces below the place at birth")
        if self.below_second:
            said.append("below the 2nd centile")
        return ", ".join(said)


def faltering(z_birth: Decimal | None, z_now: Decimal) -> Faltering | None:
    """The guideline's concern about a weight, or None when neither of its two lines is reached.

    Both are z-scores of weight for age; `z_birth` is None when none is known (a baby born before 37 weeks has none).
    Asked only from FROM_DAY on; an earlier fall is early weight loss.
    """
    spaces = None if z_birth is None else spaces_fallen(z_birth, z_now)
    needed = None if z_birth is None else spaces_for_concern(z_birth)
    low = below_second(z_now)
    fallen = spaces is not None and needed is not None and spaces >= needed
    return Faltering(spaces, needed, low) if fallen or low else None
