"""Looking at a parent's breasts or chest: consent first, then one region to a page, each side for itself."""

from __future__ import annotations

from desktop.open_chart import OpenChart
from desktop.sheets.rest_declined import RestDeclined
from desktop.sheets.seen_no_concern import seen_no_concern
from desktop.sheets.sheet import Build, Compose, Listed, Offer, Section
from desktop.sheets.written_elsewhere import WrittenElsewhere
from forms.answers import Side
from forms.breast import BreastAssessment, BreastFinding
from forms.breast_seen import place_words
from forms.parent_history import ParentHistory

__all__ = ["look_parent"]


def _before(c: Compose) -> None:
    c.alone("consent")
    c.alone("feed_timing")
    c.ask("since_milk")
    c.widget(RestDeclined)
    c.ask("more")


def _shape_of_side(c: Compose) -> None:
    seen_no_concern(c, "shape_plain")
    c.ask("shape", "size", "surface", "marks")


def _shape(c: Compose) -> None:
    c.by_side(_shape_of_side)
    c.ask("evenness", "spacing")


def _fullness(c: Compose) -> None:
    c.ask("fullness")
    seen_no_concern(c, "areola_plain")
    c.ask("areola_swelling", "areola_stretch", "armpit")


def _skin(c: Compose) -> None:
    seen_no_concern(c, "skin_plain")
    c.ask("skin", "lump", "skin_conditions")


def _nipple(c: Compose) -> None:
    seen_no_concern(c, "nipple_plain")
    c.ask("nipple")
    c.alone("shape_after")
    c.ask("damage")
    c.row("nipple_width", "nipple_length", "nipple_width_after")


def _pain(c: Compose) -> None:
    c.ask("pain_rest", "pain_touch", "tender", "colour_changes")


def _milk(c: Compose) -> None:
    c.ask("bleb", "discharge", "expressed")


def _places_begun(home: OpenChart) -> tuple[Offer, ...]:
    del home
    return tuple(
        Offer(f"{side.capitalize()} {where}", {"side": str(side), "where": code})
        for code, where in (("nipple", "nipple"), ("breast", "breast or chest"))
        for side in Side
    )


def _places(c: Compose) -> None:
    c.entries(
        BreastFinding,
        lambda one: one.ask("side", "kind", "where", "clock", "longest", "across", "course"),
        Listed(
            add="Another place",
            empty="No place is written down yet. A crack, a lump or a spot gets its side, its hour and its size here.",
            line=lambda entry, _name: place_words(entry.answers),
            concerns=True,
            offers=_places_begun,
        ),
    )


def _elsewhere(c: Compose) -> None:
    c.widget(WrittenElsewhere)


def _sided(build: Build) -> Build:
    return lambda c: c.by_side(build)


def look_parent() -> tuple[Section, ...]:
    """The sections of looking at a parent, in the order in which one looks."""
    form = BreastAssessment
    return (
        Section("look.consent", "Before", form, _before, "Before you look at {name}"),
        Section("look.shape", "Shape", form, _shape, "{own} shape and marks"),
        Section("look.fullness", "Fullness", form, _sided(_fullness), "{own} fullness and swelling"),
        Section("look.chest_skin", "Skin", form, _sided(_skin), "{own} skin and lumps"),
        Section("look.nipple", "Nipple", form, _sided(_nipple), "{own} nipples"),
        Section("look.places", "Places", BreastFinding, _places, "Places on the clock"),
        Section("look.pain", "Pain", form, _sided(_pain), "{own} pain and colour changes"),
        Section("look.milk", "Milk", form, _sided(_milk), "What comes out"),
        Section("look.parent", "Also", ParentHistory, _elsewhere, "What is written of {name} on other pages"),
    )
