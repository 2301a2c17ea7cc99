"""The practice's own page: what papers need, how this device behaves, and the keys."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from datetime import datetime
from typing import Final

from PySide6.QtWidgets import QVBoxLayout, QWidget

from desktop.controls.buttons import Link
from desktop.controls.layouts import Stack
from desktop.controls.segments import Segments
from desktop.controls.words import Rule, Title, Words
from desktop.open_chart import OpenChart
from desktop.pages.bands import always, home_key
from desktop.pages.charted import ChartPage
from desktop.pages.figures import PracticeFigures
from desktop.pages.first_steps import SHEET_PROVED
from desktop.pages.local_facts import FollowsCountry, StampTold, ZoneTold
from desktop.pages.page import Spread, band
from desktop.pages.plain import focus_soon, key_row, main_key
from desktop.pages.recovery_sheet import PrintSheet, SheetShown, SheetTyped
from desktop.pages.root_key import RootKey
from desktop.pages.seals import Seals
from desktop.pages.secret import Secret, Told
from desktop.pages.taking_out import TakeOut
from desktop.seals import ensure_seals, sealing_here
from desktop.session import Routes, Session
from desktop.settings import IDLE_MINUTES, TEXT_SIZES
from desktop.sheets.laid import Laid, lay
from desktop.sheets.phrases import PHRASES
from desktop.sheets.practice import HERE, KEEPING, ON_PAPER, WHO
from desktop.sheets.scope_lines import SCOPE_LINES
from desktop.sheets.sheet import Section
from desktop.sheets.thresholds import LIMITS
from desktop.theme.tokens import THEMES, Role, Size, Space
from forms.practice import Practitioner
from forms.trouble import Trouble
from storage.passphrases import SHORTEST, must_be_strong
from storage.store import Store
from storage.troubles import PassphraseRefused
from storage.vault import change_passphrase
from sync.exchange.sheet import replace_sheet
from sync.handoff.seals import root_waits
from sync.handoff.verify import fingerprint

__all__ = ["PracticePage"]

_OF_DEVICE: Final = "A new sheet takes the place of the old one, which then does not open this device any more."
_OF_PRACTICE: Final = (
    "A new sheet takes the place of every sheet of this practice, on this device and where the devices meet. An old "
    "one then lets no device in and opens nothing that is written later. What it could open before, it still opens "
    "for whoever kept a copy of the files: destroy it."
)


class PracticePage(ChartPage):
    """One part in the middle, the list of parts at the side: who, paper, here, keeping, phrases and the rest."""

    def __init__(self, session: Session, routes: Routes, home: OpenChart) -> None:
        super().__init__(session, routes, home)
        self.setObjectName("practice")
        self.main = Stack(between=Space.PAD)
        self.main.setContentsMargins(Space.FAR - Space.GAP, Space.BROAD, Space.FAR - Space.GAP, Space.BROAD)
        self._page: Laid | None = None
        self._follows = FollowsCountry(home, session.zone, self)
        self._parts: Mapping[str, tuple[str, Callable[[], None]]] = {
            "who": ("You", lambda: self._facts(WHO, session.author)),
            "paper": ("The practice", self._on_paper),
            "here": ("Where you work", self._here),
            "limits": ("Limits of the prompts", lambda: self._facts(LIMITS, "")),
            "keeping": ("Keeping records", lambda: self._facts(KEEPING, "")),
            "phrases": ("Phrases", lambda: self._facts(PHRASES, "")),
            "scope": ("Scope lines", lambda: self._facts(SCOPE_LINES, "")),
            "window": ("This device", self._window),
            "passphrase": ("Passphrase", self._passphrase),
            "sheet": ("Recovery sheet", self._sheet),
            "seals": ("Seals", lambda: self.main.add(Seals(self.session))),
            "root": ("Root key", self._root),
            "figures": ("Practice figures", lambda: self.main.add(PracticeFigures(self.session))),
            "out": ("Take everything out", lambda: self.main.add(TakeOut(self.session))),
        }
        side = Stack(between=Space.FINE)
        title = Title("Practice", size=Size.JOT)
        title.setContentsMargins(0, 0, 0, Space.GAP)
        side.add(title)
        for key, (words, _) in self._parts.items():
            link = Link(words, size=Size.BASE)
            link.clicked.connect(lambda _on=False, key=key: self._picked(key))
            side.add(Rule(), link)
        for words, leave in (("Check a paper", self._to_check), ("Sync", self._to_sync)):
            link = Link(words, size=Size.BASE)
            link.clicked.connect(leave)
            side.add(Rule(), link)
        side.finish()
        outer = QVBoxLayout(self)
        outer.setContentsMargins(0, 0, 0, 0)
        foot = band((home_key(routes), self.saved), always(session, routes))
        self._spread = Spread(self.main, side, foot, leads=True)
        outer.addWidget(self._spread)
        self.part = ""
        self.go("who")

    def _to_check(self, *_pressed: object) -> None:
        self.routes.check_paper()

    def _to_sync(self, *_pressed: object) -> None:
        self.routes.sync()

    def _picked(self, part: str) -> None:
        self.go(part)
        self._spread.to_main()

    def go(self, part: str) -> None:
        """Show a part."""
        if self._page is not None:
            self._page.commit()
            self._page = None
        self.home.save()
        self.part = part
        self.main.clear()
        self._parts[part][1]()
        self.main.finish()

    def leave(self) -> None:
        """Write everything typed, and make the seals if only a name was missing for them."""
        if self._page is not None:
            self._page.commit()
        super().leave()
        name = self.home.binding(Practitioner, entity=self.session.author).value("full_name")
        ensure_seals(self.session, name if isinstance(name, str) else "")

    def _facts(self, section: Section, who: str) -> None:
        self._page = lay(section, self.home, who)
        self.main.add(Title(section.headed(""), size=Size.GREETING), self._page)

    def _on_paper(self) -> None:
        self._facts(ON_PAPER, "")
        self.main.add(StampTold(self.home))

    def _here(self) -> None:
        self._facts(HERE, "")
        self.main.add(ZoneTold(self.home))

    # --- this device ------------------------------------------------------------------------------------------------

    def _window(self) -> None:
        settings = self.session.settings
        self.main.add(Title("This device", size=Size.GREETING))
        self._pick(
            "Light", {t.name: t.name for t in THEMES}, settings.now.theme, lambda code: settings.change(theme=code)
        )
        self._pick(
            "Text size",
            {str(size): f"{size} %" for size in TEXT_SIZES},
            str(settings.now.text),
            lambda code: settings.change(text=int(code)),
        )
        self._pick(
            "Lock after so many minutes without key or touch",
            {str(minutes): str(minutes) for minutes in IDLE_MINUTES},
            str(settings.now.idle),
            lambda code: settings.change(idle=int(code)),
        )
        self.main.add(
            Words("While a feed clock runs it waits half an hour. It always locks as the device goes to sleep.")
        )

    def _pick(self, label: str, options: Mapping[str, str], now: str, change: Callable[[str], None]) -> None:
        strip = Segments(label, options)
        strip.show_codes((now,))

        def picked(code: str) -> None:
            strip.show_codes((code,))
            change(code)

        strip.picked.connect(picked)
        self.main.add(Words(label, strong=True), strip)

    # --- passphrase and recovery sheet ------------------------------------------------------------------------------

    def _passphrase(self) -> None:
        old = Secret("Passphrase as it is now")
        new = Secret(f"New passphrase, at least {SHORTEST} characters")
        again = Secret("Once more")
        told, key = Told(), main_key("Change the passphrase")
        self.main.add(
            Title("Change the passphrase", size=Size.GREETING),
            Words("The recovery sheet stays good. Copies made before keep the passphrase they were made with."),
            old, new, again, told, key_row(key),
        )  # fmt: skip

        def change() -> None:
            before, after = old.box.text(), new.box.text()
            try:
                must_be_strong(after)
            except PassphraseRefused as refused:
                told.trouble(refused.sentence)
                return
            if after != again.box.text():
                told.trouble("The two new ones do not match. Show both and compare.")
                return
            key.setEnabled(False)
            told.progress("Changing the passphrase. This takes a second or two.")
            self.session.lane.run(lambda store: change_passphrase(store, before, after), done, failed)

        def done(_none: None) -> None:
            for secret in (old, new, again):
                secret.take()
            key.setEnabled(True)
            told.progress("The new passphrase holds from now on.")

        def failed(trouble: Trouble) -> None:
            key.setEnabled(True)
            told.trouble(trouble.sentence)

        key.clicked.connect(change)
        again.entered.connect(change)

    def _sheet(self) -> None:
        secret, told, key = Secret("Passphrase"), Told(), main_key("Make a new sheet")
        self.main.add(
            Title("A new recovery sheet", size=Size.GREETING),
            Words(_OF_PRACTICE if self.session.sharing.seen.owner else _OF_DEVICE), secret, told, key_row(key),
        )  # fmt: skip

        def make() -> None:
            passphrase = secret.take()
            key.setEnabled(False)
            told.progress("Making the sheet. This takes a second.")
            clock = self.session.clock
            self.session.lane.run(lambda store: _renewed(store, passphrase, clock), self._show_sheet, failed)

        def failed(trouble: Trouble) -> None:
            key.setEnabled(True)
            told.trouble(trouble.sentence)

        key.clicked.connect(make)
        secret.entered.connect(make)

    def _instead(self, widget: QWidget) -> None:
        self.main.clear()
        self.main.add(widget)
        self.main.finish()
        focus_soon(widget)

    def _show_sheet(self, words: str) -> None:
        shown = SheetShown(words)
        shown.copied.connect(lambda: self._type_sheet(words))
        shown.print_asked.connect(lambda: self._print_sheet(words))
        self._instead(shown)

    def _print_sheet(self, words: str) -> None:
        printed = PrintSheet(words)
        printed.printed.connect(lambda: self._type_sheet(words))
        printed.back_asked.connect(lambda: self._show_sheet(words))
        self._instead(printed)

    def _type_sheet(self, words: str) -> None:
        typed = SheetTyped(self.session.folder, self.session.errands)
        typed.proved.connect(self._sheet_proved)
        typed.back_asked.connect(lambda: self._show_sheet(words))
        self._instead(typed)

    def _sheet_proved(self) -> None:
        at = self.session.clock().isoformat(timespec="seconds").encode()
        self.session.lane.run(lambda store: store.keep_secret(SHEET_PROVED, at))
        sharing = self.session.sharing
        if sharing.seen.owner:
            self.session.notices.news(
                "The new recovery sheet opens the record. Keep the old one until this device has synced; then destroy "
                "it and every copy."
            )
            sharing.look(sharing.round)
        else:
            self.session.notices.news("The new recovery sheet opens the record. Destroy the old one.")
        self.go("window")

    # --- root key ---------------------------------------------------------------------------------------------------

    def _root(self) -> None:
        self.main.add(Title("Root key", size=Size.GREETING), Words("Looking where it is.", ink=Role.SOFT_INK))
        author = self.session.author
        self.session.lane.run(lambda store: (root_waits(store), _to_compare(store, author)), self._show_root)

    def _show_root(self, found: tuple[bool, str | None]) -> None:
        waits, fingerprint = found
        if self.part != "root":
            return
        self.main.clear()
        if waits:
            root = RootKey(self.session)
            root.saved.connect(lambda: self.go("root"))
            root.later.connect(lambda: self.go("window"))
            self.main.add(root)
        elif fingerprint is None:
            self.main.add(
                Title("Root key", size=Size.GREETING),
                Words("It is made as soon as the practice and you have a name on paper."),
            )
        else:
            self.main.add(
                Title("Root key", size=Size.GREETING),
                Words("It is not on this device. Keep the file and its passphrase apart from it."),
            )
        if fingerprint is not None:
            self.main.add(
                Words(
                    "Fingerprint, for whoever asks by phone whether a paper with this seal is yours",
                    strong=True,
                ),
                Words(fingerprint, size=Size.BASE),
            )
        self.main.finish()


def _renewed(store: Store, passphrase: str, clock: Callable[[], datetime]) -> str:
    """The words of a new sheet; that the old one was typed back says nothing about it."""
    words = replace_sheet(store, passphrase, clock)
    store.drop_secret(SHEET_PROVED)
    return words


def _to_compare(store: Store, author: str) -> str | None:
    """The fingerprint receivers compare: of the root this device seals under, else of the practice's."""
    found = sealing_here(store, author)
    root = found.here or found.practice
    return fingerprint(root) if root is not None else None
