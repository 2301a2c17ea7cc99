"""The pages of the gallery that show the record given out: who asks, what holds it back, its index, how it leaves, its password."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date, timedelta
from pathlib import Path
from tempfile import TemporaryDirectory

from PySide6.QtWidgets import QWidget

from desktop.controls.buttons import Link
from desktop.pages.family import FamilyPage
from desktop.pages.giving_out import GivingOut
from desktop.pages.paper_password import PasswordShown
from forms.answers import Moment
from forms.consent import Release
from forms.people import ParentIdentity
from forms.practice import Provider
from forms.visit import Visit
from tests.desktop.gallery_shell import builder
from tests.helpers.program import Program, read, wait_for

__all__ = ["PAGES", "opened", "release"]


def opened(program: Program, family: str = "lindqvist", *, signed: bool = True) -> GivingOut:
    """The part of a family's page, opened; its visit signed first."""
    found = read(program, lambda store: store.search(family))[0].id
    author = program.desk.session.author
    if signed:
        (visit,) = read(program, lambda store: store.chart(found)).all(Visit)
        read(program, lambda store: store.sign(visit.id, author=author))
    program.desk.family(found)
    page = program.to("family")
    assert isinstance(page, FamilyPage)
    page.care_end.giving_out.turn()
    return page.care_end.giving_out


def release(out: GivingOut, person: str, **more: object) -> str:
    """A release of the whole record to a provider of the address book; the provider's id."""
    home = out._home
    provider = home.chart.all(Provider)[0].id
    today = home.clock().date()
    given = {
        "recipient": provider, "scope": ("whole",), "given_by": "Ana", "relation": "parent", "valid_from": today,
        "valid_until": date(today.year + 1, 1, 31), "given_at": Moment(home.clock() - timedelta(hours=1), home.zone),
        **more,
    }  # fmt: skip
    home.add(Release, person, values=given)
    return provider


def _alone(kept: QWidget, *, up_to: QWidget) -> None:
    """Put everything else of the page away, so that the picture begins with what it is about."""
    while kept is not up_to:
        above = kept.parentWidget()
        layout = above.layout() if above is not None else None
        for at in range(layout.count() if layout is not None else 0):
            item = layout.itemAt(at) if layout is not None else None
            other = item.widget() if item is not None else None
            if other is not None and other is not kept:
                other.hide()
        assert above is not None
        kept = above


def _in_view(out: GivingOut, kept: QWidget | None = None) -> None:
    page: QWidget | None = out
    while page is not None and not isinstance(page, FamilyPage):
        page = page.parentWidget()
    assert page is not None
    _alone(kept or out, up_to=page.main)


def _first(program: Program) -> None:
    _in_view(opened(program))


def _held_back(program: Program) -> None:
    out = opened(program)
    (baby, *_others) = out._home.infants()
    provider = release(out, baby, withdrawn_at=Moment(out._home.clock(), out._home.zone))
    program.idle()
    out.people.picked.emit(baby)
    out.who.picked.emit(provider)
    _in_view(out)


def _picked(program: Program) -> GivingOut:
    out = opened(program)
    (baby, *_others) = out._home.infants()
    provider = release(out, baby)
    program.idle()
    out.people.picked.emit(baby)
    out.who.picked.emit(provider)
    for code in [segment.code for segment in out.what._segments]:
        out.what.picked.emit(code)
    out.purpose_strip.picked.emit("care")
    return out


def _asked(program: Program) -> None:
    _in_view(_picked(program))


def _looked_at(program: Program) -> None:
    out = _picked(program)
    out.look_key.click()
    wait_for(lambda: out.shown is not None)
    _in_view(out, out._pages)


def _insisting(program: Program) -> GivingOut:
    out = opened(program)
    (baby, *_others), parent = out._home.infants(), out._home.parents()[0]
    out._home.binding(ParentIdentity, entity=parent).put("may_consent", True)
    out._home.save()
    program.idle()
    out.people.picked.emit(baby)
    out.who.picked.emit(parent)
    for code in [segment.code for segment in out.what._segments]:
        out.what.picked.emit(code)
    out.purpose_strip.picked.emit("request")
    out.how.ways.picked.emit("insisted")
    return out


def _warned(program: Program) -> None:
    out = _insisting(program)
    _in_view(out, out.how)


def _insisted(program: Program) -> None:
    out = _insisting(program)
    out.how.warning.told.click()
    with TemporaryDirectory(prefix="gallery-") as folder:
        out._pick = lambda *_where: Path(folder) / "release-package"
        out.give_key.click()
        wait_for(lambda: out.give_key.isEnabled() and "files are in" in out.told.said())
    out.told.progress("9 files are in /home/rowan/release-package. Give nothing but this folder.")
    _in_view(out)


def _lock(program: Program) -> GivingOut:
    out = _picked(program)
    with TemporaryDirectory(prefix="gallery-") as folder:
        out._pick = lambda *_where: Path(folder) / "release-package.pdf"
        out.give_key.click()
        wait_for(lambda: bool(out.left.findChildren(PasswordShown)))
    return out


def _locked(program: Program) -> None:
    _in_view(_lock(program))


def _kept(program: Program) -> None:
    out = _lock(program)
    out.left.findChildren(PasswordShown)[0].keep.click()
    wait_for(lambda: any(one.accessibleName() == "Show its password" for one in out.left.findChildren(Link)))
    out.left.findChildren(PasswordShown)[0].told.emit()
    program.idle()
    _in_view(out)


def _not_told(program: Program) -> None:
    """The page opened again before the password was told, and the next package asked for."""
    family = _lock(program)._home.chart.family
    program.desk.caseload()
    program.to("caseload")
    program.desk.family(family)
    page = program.to("family")
    assert isinstance(page, FamilyPage)
    out = page.care_end.giving_out
    wait_for(lambda: bool(out.left.findChildren(PasswordShown)))
    out.turn()
    (baby, *_others) = out._home.infants()
    out.people.picked.emit(baby)
    out.who.picked.emit(out._home.chart.all(Provider)[0].id)
    _in_view(out)


def _not_saved(program: Program) -> None:
    out = _picked(program)
    out._pick = lambda *_where: Path("/nowhere/release-package.pdf")
    out.give_key.click()
    wait_for(lambda: "nothing has left" in out.told.said())
    _in_view(out, out._rest)


def _page(name: str, show: Callable[[Program], object]) -> tuple[str, Callable[[], QWidget]]:
    return builder(name, show, store=True, inside=True)


PAGES: list[tuple[str, Callable[[], QWidget]]] = [
    _page("giving-out", _first),
    _page("giving-out-held-back", _held_back),
    _page("giving-out-asked", _asked),
    _page("giving-out-index", _looked_at),
    _page("giving-out-warned", _warned),
    _page("giving-out-insisted", _insisted),
    _page("giving-out-locked", _locked),
    _page("giving-out-kept", _kept),
    _page("giving-out-not-told", _not_told),
    _page("giving-out-not-saved", _not_saved),
]
