"""The commands that take a whole record out of a store and into one: export, people, import."""

from __future__ import annotations

import shutil
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import UTC, datetime
from pathlib import Path
from typing import TYPE_CHECKING

import click

from desktop.terminal import NOT_GOOD, UNUSABLE, must_be_store, secret_line, stop, unlocked

if TYPE_CHECKING:
    from storage.store import Store
    from storage.whole import Checked, Exported

__all__ = ["PURPOSE_CODES", "export", "import_", "people"]

PURPOSE_CODES = ("copy", "move", "care", "request", "law", "other")
"""The codes of `storage.whole.PURPOSES`, written out so that asking for help loads no store; a test compares them."""


@click.command()
@click.argument("store", type=click.Path(path_type=Path))
@click.argument("dest", type=click.Path(path_type=Path))
@click.option("--person", metavar="ID", help="Only what concerns this parent or baby; “people” lists the ids.")
@click.option(
    "--purpose", type=click.Choice(PURPOSE_CODES), help="What it is for; goes into the audit journal. Asked for."
)
@click.option("--passphrase-stdin", is_flag=True, help="Read the passphrase from standard input.")
def export(store: Path, dest: Path, person: str | None, purpose: str | None, passphrase_stdin: bool) -> None:
    """Write the whole record, or what concerns one person, into the new folder DEST, in open formats.

    Nothing in DEST is encrypted. The whole record holds every family, private notes, papers, photos and all that stood
    before; it is the practice's own. With --person nothing private and nothing about other people goes along.
    """
    must_be_store(store)
    if purpose is None and passphrase_stdin:
        stop("Say with --purpose what the export is for.", UNUSABLE)
    passphrase = secret_line("Passphrase", stdin=passphrase_stdin)
    wanted = purpose or _purpose()
    opened = unlocked(store, passphrase)
    try:
        for trouble in opened.told:
            click.echo(trouble.sentence, err=True)
        done = _exported(opened, dest, person, wanted)
    finally:
        opened.close()
    for sentence in _told(done, dest, whole=person is None):
        click.echo(sentence)
    if done.operations_missing or done.attachments_missing:
        sys.exit(NOT_GOOD)


def _purpose() -> str:
    from storage.whole import PURPOSES

    for code, words in PURPOSES.items():
        click.echo(f"  {code:8} {words}", err=True)
    answer: str = click.prompt(
        "What is this export for", type=click.Choice(PURPOSE_CODES), show_choices=False, err=True
    )
    return answer


def _exported(opened: Store, dest: Path, person: str | None, purpose: str) -> Exported:
    from desktop.beginning import charting, practitioners
    from storage.store import CLERK
    from storage.taking_out import take_out

    author = charting(opened, practitioners(opened.practice_entries())) or CLERK
    return take_out(opened, dest, purpose=purpose, by=author, now=datetime.now(UTC), person=person)


def _told(done: Exported, dest: Path, *, whole: bool) -> Iterator[str]:
    counts = ", ".join(f"{name} {count:,}" for name, count in sorted(done.counts.items()))
    yield f"Written to {dest}: {counts}."
    if whole:
        yield "It holds private notes of every family, and nothing in it is encrypted. It is the practice’s own."
    else:
        yield "Nothing in it is encrypted. Typed words stand as typed: read them before the folder leaves."
    if done.visits_not_signed:
        yield f"Visits left out because they are not signed yet: {done.visits_not_signed}."
    if done.operations_missing:
        yield f"Not on this device and so not in it: {done.operations_missing:,} operations. Sync, then export again."
    if done.attachments_missing:
        yield f"Not on this device and so not in it: {done.attachments_missing:,} attachments. Sync, then export again."
    if done.formulas:
        yield f"Rows that a spreadsheet could take for a formula: {done.formulas:,}. Import the columns as text."


@click.command()
@click.argument("store", type=click.Path(path_type=Path))
@click.option("--passphrase-stdin", is_flag=True, help="Read the passphrase from standard input.")
def people(store: Path, passphrase_stdin: bool) -> None:
    """List the parents and babies of a store with their ids, one a line: id, tab, family, tab, name."""
    must_be_store(store)
    opened = unlocked(store, secret_line("Passphrase", stdin=passphrase_stdin))
    try:
        lines = tuple(_people(opened))
    finally:
        opened.close()
    for line in lines:
        click.echo(line)


def _people(opened: Store) -> Iterator[str]:
    from forms.answers import every
    from forms.people import Family, InfantIdentity, ParentIdentity

    for family in opened.caseload():
        chart = opened.chart(family.id)
        called = " / ".join(every(chart.person(Family, family.id).family_name))
        for parent in chart.all(ParentIdentity):
            names = every(parent.answers.full_name) or every(parent.answers.called_name)
            yield f"{parent.id}\t{called}\t{' / '.join(names)}"
        for baby in chart.all(InfantIdentity):
            names = every(baby.answers.legal_name) or every(baby.answers.called_name)
            yield f"{baby.id}\t{called}\t{' / '.join(names)}"


@click.command("import")
@click.argument("folder", type=click.Path(path_type=Path))
@click.argument("store", type=click.Path(path_type=Path))
@click.option("--passphrase-stdin", is_flag=True, help="Read the passphrase from standard input.")
def import_(folder: Path, store: Path, passphrase_stdin: bool) -> None:
    """Take a whole exported record into STORE: a new folder, or a store that holds nothing yet.

    Every file is looked over before anything is written. A new store gets a passphrase, and its recovery sheet is
    printed once. Seals for papers are not part of a record: make them on the practice's page afterwards.
    """
    from storage.whole import checked
    from storage.whole_folder import Proved

    found = checked(Proved.read(folder))
    problems = _into(store, found, stdin=passphrase_stdin)
    click.echo(f"Taken in: operations {len(found.operations):,}, attachments {len(found.attachments):,}.")
    for problem in problems:
        click.echo(problem)
    if problems:
        sys.exit(NOT_GOOD)
    click.echo("Everything in this store checks out: database, log, audit chain and attachments.")


def _into(store: Path, found: Checked, *, stdin: bool) -> tuple[str, ...]:
    from storage.folder import Folder
    from storage.troubles import NotAStore
    from storage.vault import set_up

    try:
        Folder(store).must_be_store()
    except NotAStore:
        with _new_store(store) as part:
            made = set_up(part, _chosen(stdin=stdin))
            problems = _taken(made.store, found)
            click.echo(f"Recovery sheet, shown this once. Write it down: {made.recovery_words}")
        return problems
    opened = unlocked(store, secret_line("Passphrase", stdin=stdin))
    return _taken(opened, found)


def _taken(opened: Store, found: Checked) -> tuple[str, ...]:
    from storage.store import CLERK

    try:
        opened.whole().take(found, CLERK)
        return opened.check()
    finally:
        opened.close()


def _chosen(*, stdin: bool) -> str:
    """A new passphrase, typed twice at a terminal."""
    if stdin:
        return secret_line("", stdin=True)
    typed: str = click.prompt("A passphrase for the new store", hide_input=True, confirmation_prompt=True, err=True)
    return typed


@contextmanager
def _new_store(store: Path) -> Iterator[Path]:
    """A folder beside, in which a store is made and filled; only then does it get its name. Nothing is left of less."""
    from storage.folder import PARTLY, flush_folder
    from storage.troubles import FolderTaken, NoRights
    from storage.whole_folder import WHOLE_DISK, NotImported

    store = store.absolute()
    if not store.name:
        raise NotImported(why=WHOLE_DISK)
    part = store.with_name(store.name + PARTLY)
    for taken in (store, part):
        if taken.is_symlink() or (taken.exists() and (not taken.is_dir() or any(taken.iterdir()))):
            raise FolderTaken(folder=taken)
    here = part  # under which name it lies: a store that is told of as refused must not be there
    try:
        yield part
        if store.exists():
            store.rmdir()
        here = part.replace(store)
        flush_folder(store.parent)
    except OSError:
        shutil.rmtree(here, ignore_errors=True)
        raise NoRights(folder=store) from None
    except BaseException:
        shutil.rmtree(here, ignore_errors=True)
        raise
