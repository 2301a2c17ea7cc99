"""The photos of one person: asked for by a consent that stands, kept with the record, and looked at behind a tap."""

from __future__ import annotations

from functools import partial
from pathlib import Path
from typing import Any

from PySide6.QtGui import QImage
from PySide6.QtWidgets import QWidget

from desktop.controls.buttons import Act, Link
from desktop.controls.layouts import Beside, Flow, Stack
from desktop.controls.photo_view import Thumb, ThumbState
from desktop.controls.veil import PrivateVeil
from desktop.controls.words import Words
from desktop.files import pick_picture
from desktop.open_chart import OpenChart
from desktop.photo_adding import PhotoAdding, local_now
from desktop.photo_shelf import PhotoShelf
from desktop.sheets.listing import EntryLine, Listing
from desktop.sheets.photo_seen import CameraTime, Seen, photo_words, to_consents, withheld
from desktop.sheets.sheet import Build, Compose, Guard, Listed, Section
from desktop.theme.icons import Icon
from desktop.theme.tokens import Role, Size, Space
from forms.ask import ask_of
from forms.chart import Entry
from forms.consent import PHOTO_PARTS
from forms.form import Form
from forms.photo import OF_THE_FILE, Photo
from forms.photo_leave import leave, leave_words, parts_allowed
from forms.trouble import Trouble

__all__ = ["PHOTOS", "Photos"]

_NO_CAMERA = (
    "Photos are taken with a camera and added from its card; this window takes none. Each is made anew from its pixels "
    "alone, without place, time or device, and is kept in this record and nowhere else."
)
_FIRST = "Ask first, then write down which parts may be shown and until when; then a photo can be added here."


class _PhotoLine(EntryLine):
    """A photo closed: small, with its line beside it."""

    listing: Photos

    def head(self) -> QWidget:
        self.thumb = Thumb()
        self._of: tuple[str, str] = ("", "")
        self._trouble = ""
        across = QWidget()
        beside = Flow(across, gap=Space.PAD)
        said = Stack(between=Space.FINE)
        said.add(self.words, self.more)
        said.finish()
        beside.addWidget(self.thumb)
        beside.addWidget(said)
        return across

    def show_entry(self, entry: Entry[Any]) -> None:
        super().show_entry(entry)
        picture = entry.answers.picture if isinstance(entry.answers.picture, str) else ""
        why = withheld(self.listing.home, entry)
        self.thumb.setAccessibleName(why or f"Photo: {photo_words(self.listing.home, entry)}")
        if (picture, why) == self._of:
            self._tell_trouble()
            return
        self._of, self._trouble = (picture, why), ""
        if why or not picture:
            self.thumb.show_state(ThumbState.VEILED)
        elif self.listing.looking():
            self.load()

    def load(self) -> None:
        """Read the small picture, now that the veil is open."""
        picture, why = self._of
        if why or not picture or self.thumb.state is ThumbState.SHOWN:
            return

        def show(image: QImage) -> None:
            if (picture, "") == self._of and self.listing.looking():
                self.thumb.show_image(image)

        def tell(trouble: Trouble) -> None:
            if (picture, "") == self._of:
                self.thumb.show_state(ThumbState.DAMAGED)
                self._trouble = trouble.sentence
                self._tell_trouble()

        self.thumb.show_state(ThumbState.READING)
        PhotoShelf.of(self.listing.home).small(picture, show, tell)

    def _tell_trouble(self) -> None:
        """Why the picture cannot be shown, before its words, which stay."""
        if self._trouble and not self.more.said().startswith(self._trouble):
            self.more.say(f"{self._trouble} {self.more.said()}")
            self.more.show()

    def let_go(self) -> None:
        """Let go of the small picture, and close what is open of it."""
        if self.thumb.state is ThumbState.SHOWN:
            self.thumb.show_state(ThumbState.READING)


class Photos(Listing):
    """Every photo of a person, of this visit and of earlier ones, behind a veil; and adding one where it may be."""

    def __init__(self, home: OpenChart, form: type[Form], who: str, build: Build, listed: Listed) -> None:
        self.veil: PrivateVeil | None = None
        self._said: tuple[object, ...] | None = None
        self.adding = PhotoAdding.of(home)
        super().__init__(home, form, who, build, listed)
        self._column.removeWidget(self.standing)
        self._column.removeWidget(self._below)
        inside = Stack(between=Space.SNUG)
        inside.add(self.standing, self._below)
        self.veil = PrivateVeil("Photos", inside)
        self.veil.opened.connect(self._looked)
        self.consent = Stack(between=Space.GAP)
        self.told = Stack(between=Space.NONE)
        for place, widget in enumerate((self.consent, self._keys, self.told, self._empty, self.veil)):
            self.insert(place, widget)
        self.adding.told.connect(self._tell)
        self.adding.added.connect(self._was_added)
        self.refresh()
        self._tell()

    def looking(self) -> bool:
        """Whether the veil is open, so that a picture may be on screen."""
        return self.veil is not None and self.veil.is_open()

    def made(self, entity: str) -> EntryLine:
        return _PhotoLine(self, entity)

    def line(self, entry: Entry[Any]) -> str:
        return photo_words(self.home, entry)

    def second_line(self, entry: Entry[Any]) -> str:
        told = entry.answers.words
        return withheld(self.home, entry) or (told if isinstance(told, str) else "Not described in words yet")

    def entries(self) -> tuple[Entry[Any], ...]:
        """The person's photos of all visits; an earlier visit's are looked at here and changed there."""
        found = (entry for entry in self.home.chart.entries if isinstance(entry.answers, Photo))
        return tuple(entry for entry in found if entry.place.subjects == (self.who,))

    def refresh(self) -> None:
        if self.veil is None:
            return
        super().refresh()
        self.veil.setVisible(bool(self.lines or self._struck) and not self._shared)
        count = len(self.lines)
        self.veil.opener.say("1 photo" if count == 1 else f"{count} photos", small="private, tap when nobody looks on")

    def _offer(self) -> None:
        """How the consent stands, and a key for each part that may be photographed now."""
        now = local_now(self.home)
        found = leave(self.home.chart, self.who, now)
        name = self.home.names(self.who)
        why = leave_words(found, name, self.home.zone, now)
        parts = () if self._is_sealed() else parts_allowed(self.home.chart, self.who, now)
        limits = found.row.answers.limits if found.row is not None and found.given else None
        said = (why, parts, self._is_sealed(), limits, name)
        if said == self._said:
            return
        self._said = said
        self.consent.clear()
        self._keys.clear()
        if self._is_sealed():
            self.consent.add(Words("This visit is signed; no photo is added to it.", ink=Role.SOFT_INK))
        elif why:
            self._refuse(why)
        else:
            self._invite(parts, limits if isinstance(limits, str) else "")

    def _refuse(self, why: str) -> None:
        self.consent.add(Words(why, size=Size.JOT), Words(_FIRST, ink=Role.SOFT_INK))
        row = QWidget()
        go = Act("Go to the consents", icon=Icon.JUMP)
        go.clicked.connect(lambda: to_consents(self.home, self.who))
        Flow(row).addWidget(go)
        self.consent.add(row)

    def _invite(self, parts: tuple[str, ...], limits: str) -> None:
        name = self.home.names(self.who)
        self.consent.add(Words(f"{name} agreed to photos for the record. Which part does the new one show?"))
        if limits.strip():
            self.consent.add(Words(f"Within these limits: {limits.strip()}", strong=True))
        self.consent.add(Words(_NO_CAMERA, size=Size.SMALL, ink=Role.SOFT_INK))
        keys = QWidget()
        flow = Flow(keys)
        for part in parts:
            act = Act(PHOTO_PARTS[part], icon=Icon.PLUS)
            act.setAccessibleName(f"Add a photo: {PHOTO_PARTS[part].lower()}")
            act.clicked.connect(partial(self.choose, part))
            flow.addWidget(act)
        self._keys.add(keys)

    # --- adding -----------------------------------------------------------------------------------------------------

    def choose(self, part: str) -> None:
        """Choose a picture file and add it."""
        if self.adding.busy:
            return
        file = pick_picture(self.window(), f"A photo: {PHOTO_PARTS[part].lower()}", Path.home())
        if file is not None:
            self.adding.add(self.who, part, file)

    def begin(self) -> None:
        """To add a photo, its part is picked first: the first key takes the focus."""
        keys = self._keys.findChildren(Act) or self.consent.findChildren(Act)
        if keys:
            keys[0].setFocus()

    def _tell(self) -> None:
        adding = self.adding
        self._keys.setEnabled(not adding.busy)
        self.told.clear()
        if not adding.words or adding.who != self.who:
            return
        across = QWidget()
        beside = Beside(across, middle=True)
        words = Words(adding.words, strong=True, ink=Role.WELD if adding.refused else Role.INK)
        beside.addWidget(words)
        if adding.busy:
            stop = Link("Stop")
            stop.setAccessibleName("Stop reading the picture")
            stop.clicked.connect(adding.stop)
            beside.addWidget(stop)
        self.told.add(across)

    def _was_added(self, entity: str) -> None:
        if self.adding.who == self.who and entity in self.lines and not self._shared and self.veil is not None:
            self.veil.open(True)
            self.open(entity)

    # --- looking ----------------------------------------------------------------------------------------------------

    def _looked(self, on: bool) -> None:
        for line in self.lines.values():
            if isinstance(line, _PhotoLine):
                line.load() if on else line.let_go()

    def set_shared(self, on: bool) -> None:
        """Shared view on: no photo, and not how many there are."""
        super().set_shared(on)
        if self.veil is not None:
            self.veil.set_shared(on)
        self.refresh()


def _photo(c: Compose) -> None:
    c.widget(Seen, *OF_THE_FILE)
    c.ask("region", "recognisable", "with_scale")
    c.widget(CameraTime)
    c.row("taken", "taken_by")
    c.ask("words", "also_shows")


def _photos(c: Compose) -> None:
    c.entries(
        Photo,
        _photo,
        Listed(
            add="Add a photo",
            empty="No photo is kept yet.",
            line=lambda entry, _name: ask_of(Photo, "region").options.get(str(entry.answers.region), "Photo"),
            concerns=True,
            crafted=Photos,
        ),
    )


PHOTOS = Section("look.photos", "Photos", Photo, _photos, "Photos of {name}", Guard.NOT_SHARED)
"""The photos of a parent or a baby."""
