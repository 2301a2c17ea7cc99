"""What papers are sealed with: the practice's own seal, or a certificate that was issued to the consultant."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

from PySide6.QtWidgets import QWidget

from desktop.controls.buttons import Act
from desktop.controls.layouts import Stack
from desktop.controls.words import Rule, Title, Words
from desktop.files import pick_file
from desktop.pages.key_file import KeyFile
from desktop.pages.paper_found import Facts, in_lines
from desktop.pages.plain import key_row, main_key
from desktop.pages.shared_root import SharedRoot
from desktop.seals import renew_seal, sealing_here
from desktop.session import Session
from desktop.theme.tokens import Role, Size, Space
from forms.answers import Moment
from forms.papers.said import day_words
from storage.store import Store
from sync.handoff.key_file import key_file
from sync.handoff.own_seals import Sealing, Standing, tell_own
from sync.handoff.seals import RENEWAL, Seal, back_to_practice, kept_seal, root_waits, seal_told
from sync.handoff.verify import Certificate, fingerprint

__all__ = ["Seals"]

_OWN = "A certificate of your own, which you brought along"
_PRACTICE = "The practice’s own, made on this device"
_APART = "A seal under another root than the practice’s, made on this device"
_BRING = (
    "Some receivers trust a seal only when an authority they know stands behind it. A certificate that one issued to "
    "you comes as a .p12 or .pfx file with a passphrase. Its key is then kept inside the record, on this device alone; "
    "the file stays where it is. Keep it: going back to the practice’s seal forgets the key."
)
_RENEW = (
    "Made anew under the same root, it holds for two more years. Receivers who know the root need not compare again, "
    "and every paper sealed before stays as good as it is."
)
_ROOT_AWAY = "The root key has left this device: choose the file it was saved to."
_OUTSIDE = (
    "Receivers compare this fingerprint instead of the root’s. Those who know your practice by its root have to "
    "compare once more. What was sealed before stays as it is."
)


@dataclass(frozen=True, slots=True)
class _Kept:
    """The seal in force with what its certificate says, and how this device stands to the practice's root.

    `root_here`: the private half of its own root waits in the store.
    """

    seal: tuple[Seal, Certificate] | None
    roots: Sealing
    root_here: bool


def _looked_up(author: str) -> Callable[[Store], _Kept]:
    def look(store: Store) -> _Kept:
        seal = kept_seal(store, author)
        told = (seal, seal_told(seal)) if seal is not None else None
        return _Kept(told, sealing_here(store, author), root_waits(store))

    return look


class Seals(Stack):
    """The seal in force, and the ways to another one."""

    def __init__(
        self, session: Session, pick: Callable[..., Path | None] = pick_file, parent: QWidget | None = None
    ) -> None:
        super().__init__(parent, between=Space.PAD)
        self._session, self._pick = session, pick
        self.add(Title("Seals", size=Size.GREETING), Words("Looking what papers are sealed with.", ink=Role.SOFT_INK))
        self.refresh()

    def refresh(self) -> None:
        """Show what is kept now."""
        self._session.lane.run(_looked_up(self._session.author), self._show)

    def _show(self, kept: _Kept) -> None:
        self.clear()
        self.add(Title("Seals", size=Size.GREETING))
        if kept.seal is not None:
            self._in_force(*kept.seal, kept)
        elif kept.roots.standing is Standing.FIRST or (kept.roots.standing is Standing.AWAY and kept.root_here):
            self.add(Words("There is none yet: it is made as soon as the practice and you have a name on paper."))
        self.shared = SharedRoot(self._session, kept.roots, root_here=kept.root_here, pick=self._pick)
        self.shared.settled.connect(self._settled)
        self.add(self.shared)
        self.add(Rule(), Title("A certificate of your own", size=Size.JOT), Words(_BRING))
        self.bring = KeyFile(
            self._session, "The file with your key and certificate", "Seal papers with it", self._use, self._pick
        )
        self.bring.used.connect(self._brought)
        self.add(self.bring)
        self.finish()

    def _settled(self, words: str) -> None:
        self._session.notices.news(words)
        self.refresh()

    def _in_force(self, seal: Seal, told: Certificate, kept: _Kept) -> None:
        now, zone = self._session.clock(), self._session.zone
        since, until = (day_words(Moment(at, zone).local().date()) for at in (seal.not_before, seal.not_after))
        if now > seal.not_after:
            self.add(Words(f"This seal ended on {until}: no paper is sealed with it.", strong=True, ink=Role.WELD))
        elif seal.not_after - now <= RENEWAL:
            self.add(Words(f"This seal ends on {until}.", strong=True))
        rows = [
            ("Papers carry", _OWN if seal.brought else _APART if kept.roots.standing is Standing.APART else _PRACTICE),
            ("Certificate", f"{told.subject}, issued by {told.issuer}"),
            ("Holds", f"From {since} to {until}"),
            ("Fingerprint to compare", "\n".join(in_lines(fingerprint(seal.root)))),
        ]
        self.add(Facts(rows))
        if seal.brought:
            self.back = Act("Go back to the practice’s seal")
            self.back.clicked.connect(self._back)
            self.add(Words(_OUTSIDE), key_row(self.back))
        elif seal.not_after - now <= RENEWAL:
            self._offer_renewal(root_here=kept.root_here)

    def _offer_renewal(self, *, root_here: bool) -> None:
        session = self._session
        self.add(Rule(), Title("Renew the seal", size=Size.JOT), Words(_RENEW))
        if root_here:
            self.renew = main_key("Renew it")
            self.renew.clicked.connect(
                lambda: session.lane.run(lambda store: renew_seal(session, store), lambda _none: self._renewed())
            )
            self.add(key_row(self.renew))
            return
        self.root_file = KeyFile(
            session, "The file the root key was saved to", "Renew it",
            lambda store, place, words: renew_seal(session, store, place, words), self._pick,
        )  # fmt: skip
        self.root_file.used.connect(self._renewed)
        self.add(Words(_ROOT_AWAY), self.root_file)

    def _renewed(self) -> None:
        self._session.notices.news("The seal is renewed and holds for two more years.")
        self.refresh()

    def _use(self, store: Store, place: Path, passphrase: str) -> None:
        from sync.handoff.brought import bring_seal  # brings all that draws and seals a page

        bring_seal(store, self._session.author, key_file(place), passphrase, now=self._session.clock())
        tell_own(store, self._session.author)

    def _brought(self) -> None:
        self._session.notices.news("Papers are sealed with your own certificate from now on.")
        self.refresh()

    def _back(self) -> None:
        author = self._session.author

        def back(store: Store) -> bool:
            back_to_practice(store, author)
            return kept_seal(store, author) is not None

        self._session.lane.run(back, self._gone_back)

    def _gone_back(self, sealed: bool) -> None:
        again = (
            "Papers carry the practice’s seal again." if sealed else "No paper is sealed here until there is a seal."
        )
        self._session.notices.news(f"{again} The key you brought along is no longer kept here.")
        self.refresh()
