"""The lanes of a feed over one axis of minutes: whose side at the left, the line of now, and what stands at their ends.

The axis grows with the feed. Time runs to the right in every language, and the half-moons never mirror.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from types import MappingProxyType

from PySide6.QtCore import QPointF, QRect, QRectF, QSize, Qt
from PySide6.QtGui import QFontMetricsF, QPainter, QPaintEvent, QPen, QResizeEvent
from PySide6.QtWidgets import QSizePolicy, QWidget

from desktop.controls.lane import Lane, LaneShape
from desktop.controls.words import Words
from desktop.theme.halfmoons import MoonState, paint_half, paint_whole
from desktop.theme.look import Dressed, look
from desktop.theme.tokens import Role, Size, Space, Stroke, Target
from forms.answers import Side

__all__ = ["Lanes", "Track", "elapsed", "span_of"]

_SPANS: Mapping[int, int] = MappingProxyType(
    {5: 1, 10: 2, 20: 4, 30: 5, 45: 10, 60: 10, 90: 15, 120: 20, 180: 30, 240: 60, 360: 60, 720: 120}
)
"""Minutes an axis may span, and the minutes between two of its ticks."""
_ROOM = 0.84
"""The line of now stands no further along the axis than this; behind it there is room to see what comes."""
_MINUTE, _HOUR = 60, 60


def span_of(seconds: float) -> tuple[int, int]:
    """Minutes the axis spans after so many seconds, and those between two ticks."""
    for span, step in _SPANS.items():
        if seconds <= span * _MINUTE * _ROOM:
            return span, step
    hours = int(seconds / _ROOM) // (_MINUTE * _HOUR) + 1
    return hours * _HOUR, max(hours // 6, 1) * _HOUR


def elapsed(seconds: float) -> str:
    """Time gone by in words: "16 min 34", with hours once there are any."""
    minutes, left = divmod(max(0, int(seconds)), _MINUTE)
    hours, rest = divmod(minutes, _HOUR)
    return f"{hours} h {rest:02} min" if hours else f"{minutes} min {left:02}"


@dataclass
class Track:
    """A lane with what stands at its left, and under its ends."""

    lane: Lane
    whose: Words
    state: MoonState = MoonState.NOT_DONE
    feet: tuple[QWidget, ...] = ()


class Lanes(Dressed, QWidget):
    """Lanes one under another. `show_tracks` says which, `show_now` how far the feed is."""

    def __init__(self, *, small: bool = False, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._small = small
        self.tracks: dict[str, Track] = {}
        self.now, self.running = 0.0, True
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)

    # --- what it shows ----------------------------------------------------------------------------------------------

    def lane(self, code: str) -> Lane:
        """The lane of that code; raises KeyError for one that is not shown."""
        return self.tracks[code].lane

    def show_tracks(self, named: Mapping[str, str]) -> tuple[Lane, ...]:
        """Show these lanes, in this order, by code and words; the ones made now."""
        made = []
        for code, words in named.items():
            if code not in self.tracks:
                lane = Lane(code, small=self._small, parent=self)
                lane.setObjectName(f"lane-{code}")
                self.tracks[code] = Track(lane, Words("", size=Size.SMALL, parent=self))
                made.append(lane)
            self.tracks[code].whose.say(words)
        self.tracks = {code: self.tracks[code] for code in named}
        for track in self.tracks.values():
            track.lane.show()
            track.whose.show()
        self._rescale()
        if made:
            self.arrange()
        return tuple(made)

    def put_feet(self, code: str, feet: Sequence[QWidget]) -> None:
        """What stands under the ends of a lane: first under its latch, then under its release."""
        self.tracks[code].feet = tuple(feet)
        for foot in feet:
            foot.setParent(self)
            foot.show()

    def show_state(self, code: str, state: MoonState) -> None:
        """What the moon at the left of a lane says."""
        self.tracks[code].state = state
        self.update()

    def show_shape(self, code: str, shape: LaneShape) -> None:
        """All of one lane anew; `arrange` once all of them are shown."""
        self.tracks[code].lane.show_shape(shape)

    def show_now(self, seconds: float, *, running: bool) -> None:
        """How many seconds have gone by, and whether the feed goes on."""
        self.now, self.running = seconds, running
        self._rescale()
        self.update()

    def _rescale(self) -> None:
        span, _ = span_of(self.now)
        before = {track.lane.span for track in self.tracks.values()}
        for track in self.tracks.values():
            track.lane.show_now(self.now, span * _MINUTE)
        if before != {span * _MINUTE}:
            self._place()

    # --- where things stand -----------------------------------------------------------------------------------------

    def _line(self) -> int:
        return round(QFontMetricsF(look().font(Size.SMALL)).height())

    def _column(self) -> int:
        """Width of what stands at the left of the lanes."""
        widest = max((track.whose.minimumSizeHint().width() for track in self.tracks.values()), default=0)
        whole = max((track.whose.sizeHint().width() for track in self.tracks.values()), default=0)
        return max(widest, min(whole, look().px(Target.SIDE_PANEL) // 3), look().px(Target.BAND)) + Space.PAD

    def _block(self, track: Track) -> int:
        """Height of a lane with what stands under it."""
        band = track.lane.band()
        named = band.bottom() + Space.FINE + track.whose.heightForWidth(self._column() - Space.PAD)
        shown = [foot for foot in track.feet if not foot.isHidden()]
        under = band.bottom() + self._down() + max((foot.sizeHint().height() for foot in shown), default=0)
        return round(max(named, under, track.lane.sizeHint().height()))

    def _down(self) -> int:
        """From the band down to its feet: their words stand below those of the events."""
        return max(Space.GAP, Space.FINE + (3 * self._line() - Target.TOUCH) // 2)

    def _blocks(self) -> Iterator[tuple[Track, int]]:
        top = self._line() + Space.FINE
        for track in self.tracks.values():
            yield track, top
            top += self._block(track) + Space.FINE

    def _foot(self) -> int:
        return self._line() + Space.FINE + sum(self._block(track) + Space.FINE for track in self.tracks.values())

    def sizeHint(self) -> QSize:
        return QSize(Target.SIDE_PANEL * 2, self._foot() + self._line() + Space.FINE)

    def minimumSizeHint(self) -> QSize:
        return QSize(Target.SIDE_PANEL, self.sizeHint().height())

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self._place()

    def dress(self) -> None:
        self.arrange()

    def arrange(self) -> None:
        """Put everything where it belongs now."""
        self._place()
        self.updateGeometry()

    def _place(self) -> None:
        column = self._column()
        for track, top in self._blocks():
            lane = track.lane
            lane.setGeometry(column, top, max(self.width() - column, 1), lane.sizeHint().height())
            under = round(top + lane.band().bottom()) + Space.FINE
            wide = column - Space.PAD
            track.whose.setGeometry(0, under, wide, track.whose.heightForWidth(wide))
            self._place_feet(track, top, column)
            track.lane.stackUnder(track.whose)
        self.update()

    def _place_feet(self, track: Track, top: int, column: int) -> None:
        """The feet under the latch and the release, moved apart where they would touch, and never over the edge."""
        lane, down = track.lane, round(top + track.lane.band().bottom()) + self._down()
        spells = [part for part in lane.shape.parts if part.kind == "spell"]
        ends = (spells[0].at, spells[-1].until or lane.now) if spells else (0.0, 0.0)
        free = float(column)
        room = self.width()
        for place, foot in enumerate(track.feet):
            wide = min(foot.sizeHint().width(), max(room - round(free), Target.TOUCH))
            after = sum(one.sizeHint().width() + Space.GAP for one in track.feet[place + 1 :])
            wanted = column + lane.across(ends[min(place, 1)]) - (wide - Space.GAP if place else Space.GAP)
            left = max(free, min(wanted, room - wide - after))
            foot.setGeometry(QRect(round(left), down, wide, foot.sizeHint().height()))
            foot.raise_()
            free = left + wide + Space.GAP

    # --- painting ---------------------------------------------------------------------------------------------------

    def paintEvent(self, event: QPaintEvent) -> None:
        now, painter = look(), QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        column, foot, small = self._column(), self._foot(), QFontMetricsF(look().font(Size.SMALL))
        wide = self.width() - column
        span, step = span_of(self.now)
        painter.setFont(now.font(Size.SMALL))
        for minute in range(0, span + 1, step):
            x = column + minute / span * wide
            painter.setPen(QPen(now.tint(Role.EDGE, Role.CARD, 45), Stroke.HAIR))
            painter.drawLine(QPointF(x, self._line()), QPointF(x, foot))
            words = "0" if minute == 0 else f"{minute} min"
            left = (
                x
                if minute == 0
                else min(x - small.horizontalAdvance(words) / 2, self.width() - small.horizontalAdvance(words))
            )
            painter.setPen(now.colour(Role.SOFT_INK))
            painter.drawText(QPointF(left, foot + Space.FINE + small.ascent()), words)
        painter.setPen(QPen(now.colour(Role.EDGE), Stroke.HAIR))
        painter.drawLine(QPointF(column, foot), QPointF(self.width(), foot))
        self._paint_now(painter, column, wide, span)
        for foot_ in (one for track in self.tracks.values() for one in track.feet if not one.isHidden()):
            painter.fillRect(foot_.geometry(), now.colour(Role.CARD))
        for track, top in self._blocks():
            self._paint_moon(painter, track, top)
            self._paint_threads(painter, track, top, column)

    def _paint_now(self, painter: QPainter, column: int, wide: int, span: int) -> None:
        now = look()
        x = round(column + self.now / (span * _MINUTE) * wide)
        painter.setPen(QPen(now.colour(Role.INK), Stroke.LINE, Qt.PenStyle.DotLine))
        painter.drawLine(x, 0, x, self._foot())
        font = now.font(Size.SMALL, strong=True)
        metrics = QFontMetricsF(font)
        words = elapsed(self.now) if self.running else f"ended at {elapsed(self.now)}"
        left = min(x + Space.GAP, self.width() - metrics.horizontalAdvance(words))
        painter.setFont(font)
        painter.setPen(now.colour(Role.INK))
        painter.drawText(QPointF(left, metrics.ascent()), words)

    def _paint_moon(self, painter: QPainter, track: Track, top: int) -> None:
        tall = min(track.lane.band().height(), float(look().px(Target.BAND)))
        box = QRectF(Stroke.LINE, top + track.lane.band().center().y() - tall / 2, tall / 2, tall)
        if track.lane.code in tuple(Side):
            paint_half(painter, box, Side(track.lane.code), track.state, look())
        else:
            paint_whole(
                painter, QRectF(box.left(), box.center().y() - tall / 4, tall / 2, tall / 2), track.state, look()
            )

    def _paint_threads(self, painter: QPainter, track: Track, top: int, column: int) -> None:
        """From the ends of the lane down to what stands under them."""
        spells = [part for part in track.lane.shape.parts if part.kind == "spell"]
        if not spells:
            return
        painter.setPen(QPen(look().colour(Role.EDGE), Stroke.HAIR, Qt.PenStyle.DashLine))
        ends = (spells[0].at, spells[-1].until)
        for foot, at in zip(track.feet, ends, strict=False):
            if at is not None and not foot.isHidden():
                x = column + track.lane.across(at)
                if foot.geometry().left() <= x <= foot.geometry().right():
                    low = top + track.lane.band().bottom()
                    painter.drawLine(QPointF(x, low), QPointF(x, low + self._down()))
