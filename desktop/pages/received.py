"""Taking over what another practice sent: a file is read and shown, and its facts are taken one by one, or left."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from functools import partial
from pathlib import Path
from typing import Final

from PySide6.QtGui import QAccessible, QAccessibleEvent
from PySide6.QtWidgets import QVBoxLayout, QWidget

from desktop.controls.buttons import Act, ActKind, Link
from desktop.controls.layouts import Flow, Stack
from desktop.controls.shown import moment_words
from desktop.controls.words import Rule, Title, Words
from desktop.files import pick_file
from desktop.open_chart import OpenChart
from desktop.pages.bands import always
from desktop.pages.charted import ChartPage
from desktop.pages.page import Spread, band
from desktop.pages.plain import focus_soon
from desktop.pages.received_rows import PersonOffered
from desktop.pages.received_shown import NotOffered, SenderTold
from desktop.pages.secret import Secret
from desktop.receiving import bytes_of, read_bytes
from desktop.session import Routes, Session
from desktop.theme.icons import Icon
from desktop.theme.tokens import Role, Size, Space
from forms.answers import Moment, every
from forms.chart import Entry
from forms.people import Family
from forms.received import MEDIA, ReceivedFile
from forms.trouble import Trouble
from storage.changes import Change, ChangeSet
from storage.store import Store
from sync.handoff.facing import Faced, gathered, persons_of
from sync.handoff.known_senders import known_roots
from sync.handoff.taking import CameIn, file_kept, keep_file, since, take
from sync.handoff.verify import NeedsPassword

__all__ = ["ReceivedPage"]

_WHAT: Final = (
    "A letter, a record or a table of another practice, or your sheet for before the visit as a family filled it in. "
    "It is read and shown first; nothing of it is in the chart until you take it, one by one. A file you take from is "
    "kept whole with the record."
)
_KINDS: Final = "Letters, records, tables and sheets (*.pdf *.json *.csv *.xml *.PDF *.JSON *.CSV *.XML)"
_EMPTY: Final = "No file is open. Choose a letter or a filled sheet that was sent to you, or open one that is kept."

Bytes = tuple[bytes, bytes | None]


class ReceivedPage(ChartPage):
    """The page. `pick` asks for a file; `roots` says whose seal is known here."""

    def __init__(
        self, session: Session, routes: Routes, home: OpenChart, *,
        pick: Callable[..., Path | None] = pick_file, roots: Callable[[Store], tuple[bytes, ...]] = known_roots,
    ) -> None:  # fmt: skip
        super().__init__(session, routes, home)
        self.setObjectName("received")
        self._pick, self._roots = pick, roots
        self.came: CameIn | None = None
        self._asked, self._steps = 0, 0
        self._locked: tuple[Bytes, str] | None = None
        self._files: tuple[str, ...] | None = None
        self.people: list[PersonOffered] = []
        self.main = Stack(between=Space.PAD)
        self.main.setContentsMargins(Space.FAR - Space.GAP, Space.BROAD, Space.FAR - Space.GAP, Space.BROAD)
        self.side = Stack(between=Space.SNUG)
        back = Act("Back to the family")
        back.clicked.connect(lambda: routes.family(home.chart.family))
        outer = QVBoxLayout(self)
        outer.setContentsMargins(0, 0, 0, 0)
        self.undo = Act("Take the last step back")
        self.undo.clicked.connect(self._take_back)
        outer.addWidget(Spread(self.main, self.side, band((back, self.undo, self.saved), always(session, routes))))
        self._head()
        home.changed.connect(self.refresh)
        home.reloaded.connect(self.refresh)
        self.refresh()

    def _head(self) -> None:
        family = self.home.chart.person(Family, self.home.chart.family).family_name
        name = f": {family.strip()}" if isinstance(family, str) and family.strip() else ""
        row = QWidget()
        flow = Flow(row, gap=Space.PAD)
        self.choose = Act("Choose a file", icon=Icon.PAPER, kind=ActKind.MAIN)
        self.choose.clicked.connect(self._choose)
        self.keep, self.away, self.stop = Act("Keep the file"), Link("Put it away"), Act("Stop reading")
        self.keep.clicked.connect(self._keep)
        self.away.clicked.connect(self._put_away)
        self.stop.clicked.connect(self._stop)
        for key in (self.choose, self.keep, self.away, self.stop):
            flow.addWidget(key)
        self.what = Words(_WHAT, ink=Role.SOFT_INK)
        self.state = Words("", ink=Role.SOFT_INK)
        self.trouble = Words("", ink=Role.WELD, strong=True)
        self.secret = Secret("The password the sender told you")
        self.secret.entered.connect(self._unlock)
        self.open_key = Act("Open it")
        self.open_key.clicked.connect(self._unlock)
        self.body = Stack(between=Space.WIDE)
        self.main.add(Title(f"Received from elsewhere{name}", size=Size.GREETING), self.what, row)
        self.main.add(self.state, self.trouble, self.secret, self.open_key, self.body)
        self.main.finish()
        self._say(_EMPTY)
        self.setFocusProxy(self.choose)

    # --- choosing and reading ---------------------------------------------------------------------------------------

    def _choose(self) -> None:
        place = self._pick(self, "Choose the file that was sent to you", Path.home(), kinds=_KINDS)
        if place is not None:
            self.read(place)

    def read(self, place: Path) -> None:
        """Read a file beside the store, and show what is in it."""
        self._begin(place.name)
        asked = self._asked
        self.session.lane.beside(
            lambda: bytes_of(place),
            lambda data: self._read_bytes(data, place.name, asked),
            lambda trouble: self._failed(trouble, asked),
        )

    def open_kept(self, entry: Entry[ReceivedFile]) -> None:
        """Read a file again that is kept with the record."""
        called = " or ".join(every(entry.answers.called))
        self._begin(called)
        asked = self._asked
        names = (next(iter(every(entry.answers.file)), ""), next(iter(every(entry.answers.beside)), ""))

        def fetch(store: Store) -> Bytes:
            return store.attachment(names[0]), store.attachment(names[1]) if names[1] else None

        self.session.lane.run(
            fetch,
            lambda data: self._read_bytes(data, called, asked),
            lambda trouble: self._failed(trouble, asked),
        )

    def _begin(self, name: str) -> None:
        self._asked += 1
        self._show(None)
        self._say(f"Reading {name}." if name else "Reading the file.", busy=True)

    def _read_bytes(self, data: Bytes, called: str, asked: int, password: str | None = None) -> None:
        """Read bytes against the roots known now, then show them, unless something else was asked for since."""
        now, zone = self.session.clock(), self.session.zone

        def read(roots: tuple[bytes, ...]) -> None:
            self.session.lane.beside(
                lambda: read_bytes(*data, called, zone=zone, now=now, roots=roots, password=password),
                lambda came: self._came(came, asked),
                lambda trouble: self._failed(trouble, asked, (data, called)),
            )

        self.session.lane.run(self._roots, read, lambda trouble: self._failed(trouble, asked))

    def _came(self, came: CameIn, asked: int) -> None:
        if asked == self._asked:
            self._locked = None
            self._say()
            self._show(since(came, self.home.chart))

    def _failed(self, trouble: Trouble, asked: int, of: tuple[Bytes, str] | None = None) -> None:
        if asked != self._asked:
            return
        self._locked = of if isinstance(trouble, NeedsPassword) else None
        if self._locked is not None:
            self._say("This PDF is locked. Type the password the sender told you; nothing of it was read yet.")
            focus_soon(self.secret)
            return
        self._say(trouble=f"{trouble.sentence} Nothing was changed.")

    def _unlock(self) -> None:
        password = self.secret.take()
        if self._locked is None or not password:
            return
        (data, called), self._locked = self._locked, None
        self._begin(called)
        self._read_bytes(data, called, self._asked, password)

    def _stop(self) -> None:
        self._asked += 1
        self._say("Reading was stopped; nothing was changed.")

    def _put_away(self) -> None:
        self._show(None)
        self._say(_EMPTY)

    def _say(self, words: str = "", *, trouble: str = "", busy: bool = False) -> None:
        self.state.say(words)
        self.state.setVisible(bool(words))
        new = bool(trouble) and trouble != self.trouble.said()
        self.trouble.say(trouble)
        self.trouble.setVisible(bool(trouble))
        if new:
            QAccessible.updateAccessibility(QAccessibleEvent(self.trouble, QAccessible.Event.Alert))
        self.stop.setVisible(busy)
        self.choose.setVisible(not busy)
        for part in (self.secret, self.open_key):
            part.setVisible(self._locked is not None)

    # --- what is in it ----------------------------------------------------------------------------------------------

    def _show(self, came: CameIn | None) -> None:
        self.came, self.people = came, []
        self.body.clear()
        if came is not None:
            found, offers = came.found, gathered(came.found)
            self.body.add(SenderTold(came, self.session.zone))
            for person in persons_of(found, offers):
                about = tuple(one for one in offers if one.person == person.id)
                shown = PersonOffered(self.home, found, person, about)
                shown.taken.connect(partial(self._take, shown))
                self.people.append(shown)
                self.body.add(shown)
            self.body.add(NotOffered(found))
        self.refresh()

    def refresh(self) -> None:
        """Write anew what stands beside each fact, and which files are kept."""
        came = self.came
        kept = came is not None and file_kept(self.home.chart, came.found.sha256)
        self.undo.setVisible(self._steps > 0)
        self.keep.setVisible(came is not None and not kept)
        self.away.setVisible(came is not None)
        self.what.setVisible(came is None)
        for shown in self.people:
            shown.refresh()
        self._list_files()

    def _list_files(self) -> None:
        entries = sorted(self.home.chart.all(ReceivedFile), key=lambda entry: entry.entered, reverse=True)
        ids = tuple(entry.id for entry in entries)
        if ids == self._files:
            return
        self._files = ids
        self.side.clear()
        self.side.add(Title("Files kept", size=Size.JOT))
        if not entries:
            self.side.add(Rule(), Words("None yet. A file is kept when something is taken from it.", ink=Role.SOFT_INK))
        for entry in entries:
            answers = entry.answers
            link = Link(" or ".join(every(answers.called)) or "A file", size=Size.BASE)
            link.clicked.connect(partial(self._open_again, entry.id))
            kind = " or ".join(MEDIA.get(one, one) for one in every(answers.media))
            since = " or ".join(f"kept since {moment_words(at)}" for at in every(answers.came))
            said = ", ".join(filter(None, (kind, " or ".join(every(answers.sender)), since)))
            self.side.add(Rule(strong=True), link, Words(said, size=Size.SMALL, ink=Role.SOFT_INK))
        self.side.finish()

    def _open_again(self, entity: str, *_pressed: object) -> None:
        entry = next((one for one in self.home.chart.all(ReceivedFile) if one.id == entity), None)
        if entry is not None:
            self.open_kept(entry)

    # --- taking -----------------------------------------------------------------------------------------------------

    def _keep(self) -> None:
        came = self.came
        if came is not None:
            self.home.write(self._keeping(came), self._stepped, self._not_kept)

    def _keeping(self, came: CameIn) -> Callable[[Store], Iterator[Change]]:
        """What keeps the file; nothing where the store holds it by then, whatever was asked for just before."""
        family, fresh = self.home.chart.family, self.session.ids()
        now = Moment(self.session.clock(), self.session.zone)

        def changes(store: Store) -> Iterator[Change]:
            if not file_kept(store.chart(family), came.found.sha256):
                yield from keep_file(store, came, family, fresh, now)

        return changes

    def _stepped(self, written: ChangeSet, then: Callable[[], None] | None = None) -> None:
        """A step of this page is written: what stands is read again."""
        self._steps += bool(written.operations)
        self.home.reload(then)

    def _take_back(self) -> None:
        """Undo the newest step of this page; what was written elsewhere is undone there."""
        if self._steps:
            self._steps -= 1
            self.home.take_back()

    def _not_kept(self, trouble: Trouble) -> None:
        self._say(trouble=f"{trouble.sentence} The file was not kept.")

    def _take(self, shown: PersonOffered, one: Faced, beside: bool) -> None:
        came = self.came
        if came is None:
            return
        self._say()
        self._busy(on=True)
        family, fresh, keeping = self.home.chart.family, self.session.ids(), self._keeping(came)

        def changes(store: Store) -> Iterator[Change]:
            """The file first: no fact may name one that is not here."""
            yield from keeping(store)
            yield from take(one, came.found, family, fresh, beside=beside)

        def taken() -> None:
            shown.mark_taken(one.offer.id)
            self._busy(on=False)

        self.home.write(changes, lambda written: self._stepped(written, taken), self._not_taken)

    def _not_taken(self, trouble: Trouble) -> None:
        self._busy(on=False)
        self._say(trouble=f"{trouble.sentence} Nothing was taken.")

    def _busy(self, *, on: bool) -> None:
        for shown in self.people:
            shown.busy = on
            shown.refresh()
