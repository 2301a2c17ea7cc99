"""The place of a mark in both ways at once: the spot on the outline and its words, each written with the other.

Every way of placing a mark (a touch, the crosshair, an hour and a distance typed, a part picked from a list) ends here,
so that the same place gives the same answers. Nothing here reads or writes: it says what is to be put.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from fractions import Fraction
from typing import Any, Final

from forms.answers import Absent, Conflicted, Given, Quantity, Side, every
from forms.body_mark import ON_CHEST, BodyMark
from forms.pictures.outlines import OF_BABY, Spot, chest_place, chest_spot, region_of, region_spot
from forms.units import decimal, quantity_of

__all__ = ["REGION_OF", "pointed", "spots", "told"]

REGION_OF: Final = {
    "mouth_open": "on_mouth", "tongue_lifted": "on_mouth", "body_front": "on_body", "body_back": "on_body",
    "head_above": "on_head",
}  # fmt: skip
"""The question that names a part of an outline."""
_AWAY: Final = ("areola", "breast", "armpit")


def _one(given: Given[Any]) -> Any:
    return None if given is None or isinstance(given, Absent | Conflicted) else given


def _cm(mm: int) -> Quantity:
    return quantity_of(decimal(Fraction(mm, 10), 0 if mm % 10 == 0 else 1), "cm")


def pointed(outline: str, side: str, spot: Spot) -> Mapping[str, Any] | None:
    """What is put for a mark pointed at on an outline; None for a spot that is not on it.

    `side` is the parent's own for a chest, "" else. On a photo a spot has no words of its own.
    """
    at = {"outline": outline, "x": spot.x, "y": spot.y}
    if outline == "photo":
        return at
    if outline in OF_BABY:
        region = region_of(outline, spot)
        return {**at, REGION_OF[outline]: region, "placed": "pointed"} if region else None
    place = chest_place(side, spot)
    away = _cm(place.from_nipple) if place.from_nipple is not None else None
    return {
        **at, "side": side, "clock": f"hour_{place.hour}", "on_chest": place.part, "from_nipple": away,
        "placed": "pointed",
    }  # fmt: skip


def told(mark: BodyMark, field: str, value: Any) -> Mapping[str, Any]:
    """What is put when one answer about the place is given by hand: that answer, and the spot that now belongs to it.

    A spot that cannot be known from the words that stand is taken back; it is never left where it no longer holds.
    """
    after = replace(mark, **{field: value})
    outline = _one(after.outline)
    found: dict[str, Any] = {field: value}
    if value is None or isinstance(value, Absent):
        return found  # the spot stands by itself; only its word is missing
    if field not in ("outline", "side", "clock", "on_chest", "from_nipple", "on_mouth", "on_body", "on_head"):
        return found
    if field == "from_nipple" and isinstance(value, Quantity) and _one(after.on_chest) not in _AWAY:
        side, hour = _one(after.side), _hour(after)
        spot = chest_spot(side, hour, from_nipple=value.base) if side in list(Side) and hour else None
        found["on_chest"] = chest_place(side, spot).part if spot is not None else None
        after = replace(after, on_chest=found["on_chest"])
    if field == "on_chest" and value not in _AWAY and _one(after.from_nipple) is not None:
        found["from_nipple"] = None
        after = replace(after, from_nipple=None)
    if field in ("from_nipple", "on_mouth", "on_body", "on_head") or after.placed is None:
        found["placed"] = "told"
    spot = _spot_of(after, outline)
    if spot is None and mark.x is None and mark.y is None:
        return found
    return {**found, "x": spot.x if spot else None, "y": spot.y if spot else None}


def _hour(mark: BodyMark) -> int:
    clock = _one(mark.clock)
    return int(clock.removeprefix("hour_")) if isinstance(clock, str) and clock.startswith("hour_") else 0


def _spot_of(mark: BodyMark, outline: Any) -> Spot | None:
    """The spot that the words of a place say."""
    if outline in OF_BABY:
        region = _one(getattr(mark, REGION_OF[outline]))
        return region_spot(outline, region) if isinstance(region, str) else None
    side, hour, away, part = _one(mark.side), _hour(mark), _one(mark.from_nipple), _one(mark.on_chest)
    if outline != "chest" or side not in list(Side) or not hour:
        return None
    known = part if part in ON_CHEST else ""
    return chest_spot(side, hour, part=known, from_nipple=away.base if isinstance(away, Quantity) else None)


def _by_writer(given: Conflicted) -> list[tuple[tuple[Any, ...], Any]]:
    """The values that stand, each with who wrote it, where and when, in an order that is the same for x and for y."""
    found = [((v.author, v.device, v.at), v.value) for v in given.variants]
    return sorted(found, key=lambda one: one[0])


def spots(mark: BodyMark) -> tuple[Spot, ...]:
    """Every place that stands for a mark: none, one, or those of a conflict, paired by who wrote them.

    Where what was written does not pair, every combination stands: a place too many is seen, one too few is not.
    """
    if isinstance(mark.x, Conflicted) and isinstance(mark.y, Conflicted):
        across, down = _by_writer(mark.x), _by_writer(mark.y)
        if [who for who, _ in across] == [who for who, _ in down]:
            return tuple(
                Spot(x, y)
                for (_, x), (_, y) in zip(across, down, strict=True)
                if isinstance(x, int) and isinstance(y, int)
            )
    return tuple(Spot(x, y) for x in every(mark.x) for y in every(mark.y))
