"""One photo opened: large on its mat with the marks over it, how the consent stands, and what the file is."""

from __future__ import annotations

from PySide6.QtGui import QHideEvent, QImage, QShowEvent
from PySide6.QtWidgets import QWidget

from desktop.controls.buttons import Link
from desktop.controls.layouts import Beside, Flow, Stack
from desktop.controls.photo_view import PhotoView
from desktop.controls.words import Words
from desktop.open_chart import OpenChart
from desktop.photo_adding import PhotoAdding, local_now
from desktop.photo_shelf import PhotoShelf
from desktop.sheets.in_view import InView, Jump
from desktop.sheets.photo_marks import PhotoMarks
from desktop.sheets.sheet import Here
from desktop.theme.tokens import Role, Size, Space
from forms.answers import Conflicted, Moment
from forms.ask import ask_of
from forms.chart import Entry
from forms.consent import Consent
from forms.days import moment_words
from forms.photo import Photo
from forms.photo_leave import leave_of, leave_words, uses_words
from forms.trouble import Trouble

__all__ = ["CameraTime", "Seen", "photo_words", "to_consents", "withheld"]

_LARGE, _WHOLE = 1_600, 65_500  # pixels of the longer side: as it opens, and when looked at more closely
_KEPT = "Kept, not shown, not sent; a new consent shows it again."


def withheld(home: OpenChart, entry: Entry[Photo]) -> str:
    """Why a photo is not shown now, and that it is kept; "" where it may be shown."""
    now = local_now(home)
    found = leave_of(home.chart, entry, now)
    part = entry.answers.region if isinstance(entry.answers.region, str) else ""
    why = leave_words(found, home.names(found.person), home.zone, now, part=part)
    return f"{why} {_KEPT}" if why else ""


def photo_words(home: OpenChart, entry: Entry[Photo]) -> str:
    """A photo in a line: "Nipple, Mara’s left, Mon 2 Mar 2026 16:28"; what is not said is left out."""
    kept, name = entry.answers, home.names(entry.place.subjects[0])

    def said(field: str) -> str:
        given = getattr(kept, field)
        if isinstance(given, Conflicted):
            return f"{ask_of(Photo, field).label.lower()}: two answers stand"
        return ask_of(Photo, field).options.get(given, "") if isinstance(given, str) else ""

    side = said("side")
    whose = f"{name}’s {side.removeprefix('Own ').lower()}" if side.startswith("Own") else side.lower()
    taken = moment_words(kept.taken) if isinstance(kept.taken, Moment) else "time not said"
    if isinstance(kept.taken, Conflicted):
        taken = "taken: two answers stand"
    return ", ".join(part for part in (said("region") or "Photo", whose, taken) if part)


class CameraTime(Stack):
    """The time the camera's own clock showed, offered to be taken; it may be wrong, so it is never taken by itself."""

    def __init__(self, here: Here) -> None:
        super().__init__(between=Space.NONE)
        self._here = here
        at = PhotoAdding.of(here.home).camera_time(here.binding.entity)
        self._moment = Moment.of(at, here.home.zone) if at is not None else None
        if self._moment is None:
            return
        across = QWidget()
        beside = Beside(across, middle=True)
        told = f"The camera’s clock says {moment_words(self._moment)}. It may be wrong."
        beside.addWidget(Words(told, size=Size.SMALL, ink=Role.SOFT_INK))
        self.use = Link("Take this time")
        self.use.clicked.connect(lambda: here.binding.put("taken", self._moment))
        beside.addWidget(self.use)
        self.add(across)
        here.binding.changed.connect(self._show)
        self._show("")

    def _show(self, _path: str) -> None:
        offered = self._here.binding.value("taken") is None and not self._here.binding.sealed()
        above = self.parentWidget()
        if not offered:
            self.setVisible(False)
        elif above is not None and not self.isVisibleTo(above):  # without a parent it would be a window of its own
            self.setVisible(True)


class Seen(Stack):
    """The photo of one entry, read when it comes into view and let go when it leaves it."""

    def __init__(self, here: Here) -> None:
        super().__init__(between=Space.GAP)
        self.here, self.home = here, here.home
        self._asked, self._shared, self._trouble = 0, False, ""
        self._signs: tuple[object, ...] = ()
        self.view = PhotoView()
        self.closer, self.whole = Link("Closer"), Link("Whole picture")
        self.closer.clicked.connect(lambda: self.zoom(self.view.times * 2))
        self.whole.clicked.connect(lambda: self.zoom(1))
        looking = (self.closer, self.whole)
        self.marks = PhotoMarks(here.home, here.who, here.binding.entity, self.view, looking)
        self.facts = Words("", size=Size.SMALL, ink=Role.SOFT_INK)
        self.jump = Link("Go to the consents")
        self.jump.clicked.connect(lambda: to_consents(self.home, here.who))
        self._keys = QWidget()
        flow = Flow(self._keys)
        flow.addWidget(self.jump)
        self.add(self.view, self.facts, self._keys, self.marks)
        self.home.changed.connect(self.refresh)
        self.refresh()

    def _entry(self) -> Entry[Photo] | None:
        found = self.home.chart.by_id(self.here.binding.entity)
        return found if found is not None and isinstance(found.answers, Photo) else None  # type: ignore[return-value]

    def refresh(self) -> None:
        """Show the photo if it may be shown now, or why it is not."""
        entry = self._entry()
        if entry is None:
            self.view.show_words("No picture is kept here.")
            self.marks.hide()
            return
        why = withheld(self.home, entry)
        picture = entry.answers.picture
        here = entry.place.visit == self.home.chart.visit
        self.marks.refresh(may_mark=here and not self.here.binding.sealed() and not why)
        self.marks.setVisible(not why and not self._trouble)
        self.facts.say(self._facts(entry))
        self.jump.setVisible(bool(why))
        signs = (why, picture, self.isVisible(), self._shared)
        if signs != self._signs:
            self._signs = signs
            self._trouble = ""
            self._show(why, picture if isinstance(picture, str) else "")
        elif not self.view.image.isNull():
            self.view.setAccessibleName(self._name())
        self._show_keys()

    def _show(self, why: str, picture: str) -> None:
        self._asked += 1
        if why or not picture:
            self.view.show_words(why or "Two pictures stand for this photo. Settle which one it is.")
        elif self._shared or not self.isVisible():
            self.view.show_words("Not shown while others look on." if self._shared else "Reading the picture …")
        else:
            self.view.show_words("Reading the picture …")
            self._load(picture, _LARGE)

    def _load(self, picture: str, longest: int) -> None:
        asked = self._asked

        def take(image: QImage) -> None:
            if asked == self._asked:  # what was asked before something else came into view is let go
                self.view.show_image(image, self._name())
                self.marks.refresh(may_mark=self.marks.may_mark)
                self._show_keys()

        def tell(trouble: Trouble) -> None:
            if asked == self._asked:
                self._trouble = trouble.sentence
                self.view.show_words(trouble.sentence)
                self.marks.hide()
                self._show_keys()

        PhotoShelf.of(self.home).large(picture, longest, take, tell)

    def zoom(self, times: int) -> None:
        """Look more closely, at full resolution; or at the whole again."""
        entry = self._entry()
        if entry is None or self.view.image.isNull() or not isinstance(entry.answers.picture, str):
            return
        if self.view.times == 1 and times > 1:
            self._load(entry.answers.picture, _WHOLE)
        self.view.zoom(times)
        self.view.setFocus()
        self._show_keys()

    def _show_keys(self) -> None:
        seen = not self.view.image.isNull()
        self.closer.setVisible(seen and self.view.times < 4)
        self.whole.setVisible(seen and self.view.times > 1)
        self._keys.setVisible(not self.jump.isHidden())

    def _name(self) -> str:
        entry = self._entry()
        if entry is None:
            return ""
        told = entry.answers.words if isinstance(entry.answers.words, str) else "not described yet"
        return f"Photo: {photo_words(self.home, entry)}. {told}"

    def _facts(self, entry: Entry[Photo]) -> str:
        kept = entry.answers
        row = self.home.chart.by_id(kept.consent) if isinstance(kept.consent, str) else None
        given = row.answers.given_at if row is not None and isinstance(row.answers, Consent) else None
        size = (
            f"{ask_of(Photo, 'media').options.get(str(kept.media), '')}, {kept.wide:,} by {kept.tall:,} pixels."
            if isinstance(kept.wide, int) and isinstance(kept.tall, int)
            else ""
        )
        by = f"Added by the consent of {moment_words(given)}." if isinstance(given, Moment) else ""
        uses = "" if withheld(self.home, entry) else uses_words(self.home.chart, entry, local_now(self.home))
        return " ".join(part for part in (size, by, uses) if part)

    def set_shared(self, on: bool) -> None:
        """Take the picture off the screen while others look on."""
        self._shared = on
        self.refresh()

    def showEvent(self, event: QShowEvent) -> None:
        super().showEvent(event)
        self.refresh()

    def hideEvent(self, event: QHideEvent) -> None:
        # Not kept in memory behind a veil or another page.
        super().hideEvent(event)
        self._asked += 1
        self._signs = ()
        self.view.show_words("")


def to_consents(home: OpenChart, who: str) -> None:
    """To where consents are written down."""
    InView.of(home).jumped.emit(Jump("arrive", who, "arrive.consents", "consent"))
