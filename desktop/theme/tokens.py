"""Every colour, size and radius of the window, once. Nothing outside `desktop/theme` names a colour or a pixel.

Colours are roles; a theme says what each role is. Sizes are at 100 % text, in device-independent pixels; the look in
force (`desktop.theme.look`) scales type, and boxes grow from their text.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from enum import IntEnum, StrEnum
from fractions import Fraction
from types import MappingProxyType

__all__ = [
    "DAY", "LAMP", "NIGHT", "THEMES", "Radius", "Role", "Size", "Space", "Stroke", "Target", "Theme",
    "contrast", "mixed", "theme_named",
]  # fmt: skip


class Role(StrEnum):
    """What a colour is for."""

    PAGE = "page"
    CARD = "card"
    WELL = "well"  # where something is typed; the bottom band
    INK = "ink"
    SOFT_INK = "soft_ink"
    EDGE = "edge"
    ELDER = "elder"  # act, focus, picked
    WOAD = "woad"  # information, links
    WELD = "weld"  # watch
    MADDER = "madder"  # urgent, and nothing else
    ALDER = "alder"  # done, steady
    ON_FILL = "on_fill"


class Size(IntEnum):
    """Type sizes. Charting reads at BASE, jots at JOT, weights at WEIGHT."""

    SMALL = 14
    BASE = 16
    JOT = 20
    FIGURE = 24
    TITLE = 28
    GREETING = 34
    WEIGHT = 40


class Space(IntEnum):
    """Distances between things."""

    NONE = 0
    FINE = 4
    GAP = 8  # the least gap between two targets
    SNUG = 12
    PAD = 16
    WIDE = 24
    BROAD = 32
    FAR = 48


class Radius(IntEnum):
    """Corners, by what the thing is: a segment is cut square, a keycap is eased, a button is soft."""

    CUT = 0
    EASED = 4
    VEIL = 8
    SOFT = 14


class Stroke(IntEnum):
    """Line widths; LINE is also that of icons, RING that of the focus ring."""

    HAIR = 1
    LINE = 2
    RING = 3


class Target(IntEnum):
    """Least sizes of what is touched, and of the fixed parts of the window."""

    FLOOR = 24
    TOUCH = 48
    BAND = 56
    PAD = 64
    MOON = 34
    HALF = 34
    TAG = 24
    KNOB = 20
    ICON = 24
    MARK = 12
    NOTE_LINES = 14  # a note grows to this many lines, then scrolls
    SIDE_PANEL = 276
    THREAD = 196
    THUMB = 104  # a photo in a list
    PHOTO = 440  # how tall a photo is shown at most
    READING = 20  # least width of an answer before what stands beside it moves below, in ems


@dataclass(frozen=True, slots=True)
class Theme:
    """One set of colours, by role, and the name the user picks it by."""

    name: str
    colours: Mapping[Role, str]

    def __getitem__(self, role: Role) -> str:
        return self.colours[role]


def _theme(name: str, *colours: str) -> Theme:
    return Theme(name, MappingProxyType(dict(zip(Role, colours, strict=True))))


DAY = _theme(
    "Day", "#F7F3EA", "#FFFDF8", "#ECE5D6", "#2B2420", "#5D5249", "#85796B",
    "#5B3A4E", "#2C5470", "#7F6100", "#861B15", "#3A5F3C", "#FFFDF8",
)  # fmt: skip
LAMP = _theme(
    "Lamp", "#C9BDA6", "#D3C8B3", "#BBAE95", "#1E1814", "#40362D", "#5E5243",
    "#47283B", "#1B3C54", "#544000", "#5C0E0A", "#244525", "#F3ECDD",
)  # fmt: skip
NIGHT = _theme(
    "Night", "#1C1815", "#26211D", "#312B26", "#E6DCCB", "#B7AA98", "#877A6B",
    "#D3A9C1", "#93BCD8", "#D9B24A", "#EA8574", "#B3DDB0", "#1C1815",
)  # fmt: skip
THEMES = (DAY, LAMP, NIGHT)


def theme_named(name: str) -> Theme:
    """The theme with that name; raises KeyError for another."""
    return {theme.name: theme for theme in THEMES}[name]


def _parts(colour: str) -> tuple[int, int, int]:
    return int(colour[1:3], 16), int(colour[3:5], 16), int(colour[5:7], 16)


def mixed(over: str, under: str, share: Fraction) -> str:
    """The opaque colour seen where `share` of `over` lies on `under`."""
    pairs = zip(_parts(over), _parts(under), strict=True)
    return "#" + "".join(f"{round(a * share + b * (1 - share)):02X}" for a, b in pairs)


def contrast(one: str, other: str) -> float:
    """The contrast ratio of two colours, 1 to 21 (WCAG 2 relative luminance, [M])."""

    def luminance(colour: str) -> float:
        def linear(part: int) -> float:
            c = part / 255
            return c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4

        red, green, blue = (linear(part) for part in _parts(colour))
        return 0.2126 * red + 0.7152 * green + 0.0722 * blue

    high, low = sorted((luminance(one), luminance(other)), reverse=True)
    return (high + 0.05) / (low + 0.05)
