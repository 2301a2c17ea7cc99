"""The address book: every provider, what a letter to them needs, and what of that is still missing."""

from __future__ import annotations

from functools import partial

from PySide6.QtWidgets import QVBoxLayout

from desktop.controls.buttons import Act, Link
from desktop.controls.layouts import Stack
from desktop.controls.typed import Box
from desktop.controls.words import Rule, Title, Words
from desktop.open_chart import OpenChart
from desktop.pages.bands import always, home_key
from desktop.pages.charted import ChartPage
from desktop.pages.page import Spread, band
from desktop.session import Routes, Session
from desktop.sheets.laid import Laid, lay
from desktop.sheets.practice import PROVIDER
from desktop.theme.tokens import Role, Size, Space
from forms.chart import Entry
from forms.practice import PROFESSIONS, Provider

__all__ = ["AddressBookPage", "missing_for_letter"]


def missing_for_letter(provider: Provider) -> tuple[str, ...]:
    """What a letter to this provider still lacks, in words."""
    given = {
        "a name": provider.full_name,
        "a profession": provider.profession,
        "a phone number": provider.phone,
        "a way to send letters": provider.secure_route or provider.fax or provider.address,
    }
    return tuple(words for words, value in given.items() if not (isinstance(value, str) and value.strip()))


def _name(provider: Provider) -> str:
    return provider.full_name.strip() if isinstance(provider.full_name, str) and provider.full_name.strip() else ""


class AddressBookPage(ChartPage):
    """The list at the side, one provider in the middle."""

    def __init__(self, session: Session, routes: Routes, home: OpenChart) -> None:
        super().__init__(session, routes, home)
        self.setObjectName("address_book")
        self.main = Stack(between=Space.GAP)
        self.main.setContentsMargins(Space.FAR - Space.GAP, Space.BROAD, Space.FAR - Space.GAP, Space.BROAD)
        self.list = Stack(between=Space.FINE)
        self.add_key = Act("New provider")
        self.add_key.clicked.connect(self.add)
        self.search = Box(ems=10)
        self.search.setPlaceholderText("Find   /")
        self.search.setAccessibleName("Find a provider")
        self.search.textChanged.connect(lambda _text: self._fill())
        side = Stack(between=Space.SNUG)
        side.add(Title("Address book", size=Size.JOT), self.search, self.list)
        side.finish()
        outer = QVBoxLayout(self)
        outer.setContentsMargins(0, 0, 0, 0)
        foot = band((home_key(routes), self.add_key, self.saved), always(session, routes))
        self._spread = Spread(self.main, side, foot, leads=True)
        outer.addWidget(self._spread)
        self._shown = ""
        self._page: Laid | None = None
        home.changed.connect(self._fill)
        self._fill()
        first = self._providers()
        self.show_provider(first[0].id if first else "")

    def seek(self) -> None:
        """Go to the search box."""
        self.search.setFocus()

    def _providers(self) -> list[Entry[Provider]]:
        return sorted(
            self.home.chart.all(Provider), key=lambda e: (_name(e.answers) == "", _name(e.answers).casefold())
        )

    def _fill(self) -> None:
        wanted = self.search.text().strip().casefold()
        self.list.clear()
        for entry in self._providers():
            provider = entry.answers
            profession = PROFESSIONS.get(provider.profession, "") if isinstance(provider.profession, str) else ""
            if wanted and wanted not in f"{_name(provider)} {profession}".casefold():
                continue
            link = Link(_name(provider) or "Name not written yet", size=Size.BASE)
            link.clicked.connect(partial(self._picked, entry.id))
            self.list.add(Rule(), link)
            lacks = missing_for_letter(provider)
            if provider.no_longer is True:
                self.list.add(Words("No longer in use", size=Size.SMALL, ink=Role.SOFT_INK))
            elif lacks:
                self.list.add(Words(f"Lacks {', '.join(lacks)}", size=Size.SMALL, ink=Role.WELD))
            else:
                self.list.add(Words(profession, size=Size.SMALL, ink=Role.SOFT_INK))
        if not self.home.chart.all(Provider):
            self.list.add(Rule(), Words("Nobody yet.", ink=Role.SOFT_INK))

    def _picked(self, provider: str, *_pressed: object) -> None:
        self.show_provider(provider)
        self._spread.to_main()

    def add(self) -> None:
        """Begin a provider; it is kept from the first answer on."""
        self._picked(self.home.begin(Provider).entity)

    def show_provider(self, provider: str) -> None:
        """Show one provider to be read and changed; "" for the empty page."""
        if self._page is not None:
            self._page.commit()
        self.home.save()
        self.main.clear()
        self._shown, self._page = provider, None
        if not provider:
            self.main.add(
                Title("Providers", size=Size.GREETING),
                Words(
                    "Everyone a family’s care is shared with: their own doctors, therapists, the emergency department. "
                    "A letter needs a name, a profession, a phone number, and a way to send it.",
                    ink=Role.SOFT_INK,
                ),
            )
        else:
            self._page = lay(PROVIDER, self.home, provider)
            kept = self.home.binding(Provider, entity=provider).answers()
            name = _name(kept) if isinstance(kept, Provider) else ""
            self.main.add(Title(name or "A new provider", size=Size.GREETING), self._page)
            self._page.setFocus()
        self.main.finish()
