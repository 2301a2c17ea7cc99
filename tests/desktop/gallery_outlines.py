"""The pages of the gallery on which something is drawn on an outline."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from PySide6.QtWidgets import QWidget

from desktop.pages.visit import VisitPage
from desktop.sheets.mark_list import MarkList
from forms.answers import Quantity
from forms.ask import Path
from forms.body_mark import BodyMark
from forms.breast import BreastAssessment
from forms.mark_place import pointed, told
from forms.oral import OralAssessment
from forms.pictures.outlines import Spot, outline_of, region_spot
from storage.changes import Put
from tests.desktop.gallery_visit import Framed
from tests.helpers.twins import TwinVisit
from tests.helpers.visits import settled

__all__ = ["SCREENS", "draw_mark"]


def draw_mark(page: VisitPage, who: str, place: dict[str, Any], **answers: Any) -> str:
    """A mark with a place and answers, as if it had been touched; its entry."""
    binding = page.home.begin(BodyMark, who)
    binding.put_all({Path(name): value for name, value in {**place, **answers}.items()})
    return binding.entity


def on_chest(side: str, hour: int, **place: Any) -> dict[str, Any]:
    """The answers of a place given by hour and distance or part."""
    answers: dict[str, Any] = {"outline": "chest", "side": side, "clock": f"hour_{hour}"}
    ((field, value),) = place.items()
    return {**answers, **told(BodyMark(**answers), field, value)}


def _mm(size: int) -> Quantity:
    return Quantity(str(size), "mm", size)


def _cm(size: str, base: int) -> Quantity:
    return Quantity(size, "cm", base)


def _chest_marks(page: VisitPage, made: TwinVisit) -> list[str]:
    page.home.binding(BreastAssessment, made.mara).put("consent", "look_touch")
    return [
        draw_mark(page, made.mara, on_chest("right", 3, on_chest="nipple"), kind="crack", longest=_mm(4)),
        draw_mark(page, made.mara, on_chest("left", 10, from_nipple=_cm("4.5", 45)), kind="lump", longest=_cm("2", 20),
                  tender=5),
        draw_mark(page, made.mara, on_chest("left", 6, on_chest="areola"), kind="colour"),
        draw_mark(page, made.mara, on_chest("right", 10, from_nipple=_cm("9", 90)), kind="swelling"),
    ]  # fmt: skip


def _chest(page: VisitPage, made: TwinVisit) -> None:
    """A parent's two sides with four marks, none open."""
    _chest_marks(page, made)
    page.go("look", made.mara, "look.drawing")


def _opened(page: VisitPage, made: TwinVisit) -> None:
    """A mark open under its sentence, ringed on the outline."""
    marks = _chest_marks(page, made)
    page.go("look", made.mara, "look.drawing")
    assert page.middle.page is not None
    page.middle.page.show_entry("body_mark", marks[0])


def _empty(page: VisitPage, made: TwinVisit) -> None:
    """Nothing drawn, and nothing agreed to yet."""
    page.go("look", made.mara, "look.drawing")


def _turned(code: str, regions: dict[str, str]) -> Callable[[VisitPage, TwinVisit], None]:
    def show(page: VisitPage, made: TwinVisit) -> None:
        page.home.binding(OralAssessment, made.ida).put("consent", "given")
        for region, kind in regions.items():
            spot = region_spot(code, region)
            assert spot is not None
            draw_mark(page, made.ida, dict(pointed(code, "", spot) or {}), kind=kind)
        page.go("look", made.ida, "look.drawing")
        page.middle.findChildren(MarkList)[0].show_outline(code)

    return show


def _torn(page: VisitPage, made: TwinVisit) -> None:
    """Two places stand for one mark, and two answers for what another is."""
    first = draw_mark(page, made.ida, dict(pointed("body_front", "", Spot(500, 520)) or {}), kind="rash")
    second = draw_mark(page, made.ida, dict(pointed("body_front", "", Spot(640, 700)) or {}), kind="bruise")
    page.home.save()
    settled(made)
    outline = outline_of("body_front")
    assert outline.regions
    for name, value in (("x", 380), ("y", 690), ("on_body", "thigh_right")):
        made.store.write((Put(first, Path(name), value, replaces=()),), author=made.author)
    made.store.write((Put(second, Path("kind"), "birth_mark", replaces=()),), author=made.author)
    page.home.reload()
    settled(made)
    page.go("look", made.ida, "look.drawing")
    page.middle.findChildren(MarkList)[0].show_outline("body_front")


def _many(page: VisitPage, made: TwinVisit) -> None:
    """More marks than a page of the list holds."""
    for place in range(30):
        found = pointed("body_back", "", Spot(420 + place * 7, 330 + (place * 37) % 300))
        draw_mark(page, made.ida, dict(found or {}), kind=("rash", "bruise", "birth_mark")[place % 3])
    page.go("look", made.ida, "look.drawing")
    page.middle.findChildren(MarkList)[0].show_outline("body_back")


_MOUTH = {"palate_front": "white_patch", "tongue_tip": "asymmetry", "upper_gum_left": "spot", "lower_lip": "blister"}
_UNDER = {"under_middle": "frenulum", "floor_right": "sore"}
_FRONT = {"diaper_area": "rash", "collarbone_left": "swelling", "belly": "birth_mark", "foot_right": "bruise"}
_ABOVE = {"soft_spot": "swelling", "side_left": "bruise"}

SCREENS: list[tuple[str, Callable[[], QWidget]]] = [
    ("outline-chest", lambda: Framed(_chest)),
    ("outline-chest-open", lambda: Framed(_opened)),
    ("outline-chest-empty", lambda: Framed(_empty)),
    ("outline-mouth", lambda: Framed(_turned("mouth_open", _MOUTH))),
    ("outline-tongue", lambda: Framed(_turned("tongue_lifted", _UNDER))),
    ("outline-front", lambda: Framed(_turned("body_front", _FRONT))),
    ("outline-back-many", lambda: Framed(_many)),
    ("outline-head", lambda: Framed(_turned("head_above", _ABOVE))),
    ("outline-torn", lambda: Framed(_torn)),
]
