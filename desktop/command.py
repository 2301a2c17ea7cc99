"""The command line. The window's library is imported only in the branch that opens a window.

Exit status everywhere: 0 good, 1 not good, 2 cannot be read or used.
"""

from __future__ import annotations

import json
import sys
from collections.abc import Sequence
from datetime import UTC, datetime
from pathlib import Path
from typing import TYPE_CHECKING, NoReturn

import click

from desktop.command_whole import export, import_, people
from desktop.terminal import NOT_GOOD, UNUSABLE, must_be_store, secret_line, stop, unlocked
from forms.trouble import Trouble

if TYPE_CHECKING:
    from storage.store import Store
    from sync.exchange.told import Told
    from sync.handoff.known_senders import KnownRoots
    from sync.transport.address import Credentials

__all__ = ["main"]


def main(arguments: Sequence[str] | None = None) -> NoReturn:
    """Run one command and end the process; bad input and trouble are one plain sentence each."""
    try:
        hearthside.main(arguments, "hearthside", standalone_mode=False)
    except click.exceptions.Abort:
        stop("Stopped; nothing more was done.", NOT_GOOD)
    except click.ClickException as wrong:
        stop(wrong.format_message(), UNUSABLE)
    except Trouble as trouble:
        stop(trouble.sentence, NOT_GOOD)
    sys.exit(0)


@click.group(invoke_without_command=True, context_settings={"help_option_names": ["-h", "--help"]})
@click.pass_context
def hearthside(context: click.Context) -> None:
    """Offline charting for a lactation consultant's home visits. Without a command: opens the window."""
    if context.invoked_subcommand is None:
        _open_window(None)


hearthside.add_command(export)
hearthside.add_command(import_)
hearthside.add_command(people)


def _open_window(store: Path | None) -> None:
    try:
        from desktop.app import run
    except ImportError as failure:
        from desktop.missing import sentence_for

        stop(sentence_for(failure), UNUSABLE)
    sys.exit(run(store))


@hearthside.command()
@click.option("--out", "out", type=click.Path(path_type=Path), help="Where to write; an empty or new folder.")
@click.option("--no-window", is_flag=True, help="End after writing.")
def demo(out: Path | None, no_window: bool) -> None:
    """Chart an invented visit from first answer to signed papers and print what was written."""
    from demo_db.build import PASSPHRASE, build

    folder = out if out is not None else Path("hearthside-demo")
    _must_be_free(folder)
    try:
        built = build(folder)
    except Trouble as trouble:
        stop(trouble.sentence, NOT_GOOD)
    for line in built.told:
        click.echo(line)
    for path in built.paths:
        click.echo(str(path))
    click.echo(f"Passphrase of the invented store: {PASSPHRASE}")
    if not no_window:
        _open_window(built.store)


def _must_be_free(folder: Path) -> None:
    try:
        if folder.exists() and (not folder.is_dir() or any(folder.iterdir())):
            stop(f"{folder} already holds something. Name a new or empty folder with --out.", UNUSABLE)
        folder.mkdir(parents=True, exist_ok=True)
    except OSError:
        stop(f"{folder} cannot be written to. Name a folder of your own with --out.", UNUSABLE)


@hearthside.command()
@click.argument("paper", metavar="FILE.pdf", type=click.Path(path_type=Path))
@click.option("--json", "as_json", is_flag=True, help="Print the findings as JSON.")
@click.option("--store", "store", type=click.Path(path_type=Path), help="Say too whether this store knows the sender.")
@click.option(
    "--passphrase-stdin", is_flag=True, help="Read from standard input: the store's passphrase, if it is named, then "
    "the paper's password."
)  # fmt: skip
def verify(paper: Path, as_json: bool, store: Path | None, passphrase_stdin: bool) -> None:
    """Say who signed a paper, when, and whether a byte of it has changed since.

    The password of a locked paper is asked for; it is never an argument, which other programs could read.
    """
    from sync.handoff.checking import PaperTooLarge, PaperUnread, check_file
    from sync.handoff.verify import NeedsPassword, Unreadable

    known = _known_to(store, stdin=passphrase_stdin) if store is not None else {}
    password = sys.stdin.readline().rstrip("\n") or None if passphrase_stdin else None
    try:
        try:
            checked = check_file(paper, known, password)
        except NeedsPassword:
            if password is not None or not sys.stdin.isatty():
                raise
            checked = check_file(paper, known, secret_line("Password of this paper", stdin=False))
    except (Unreadable, PaperTooLarge, PaperUnread) as trouble:
        stop(trouble.sentence, UNUSABLE)
    click.echo(json.dumps(checked.as_json(), indent=2, ensure_ascii=False) if as_json else checked.words())
    sys.exit(0 if checked.verdict.good else NOT_GOOD)


def _known_to(store: Path, *, stdin: bool) -> KnownRoots:
    """The roots a store trusts. A store that cannot be opened ends the command: it must not look like one that is."""
    from sync.handoff.known_senders import known_senders

    must_be_store(store)
    opened = unlocked(store, secret_line("Passphrase", stdin=stdin))
    try:
        return known_senders(opened)
    finally:
        opened.close()


@hearthside.command("open-check")
@click.argument("store", required=False, type=click.Path(path_type=Path))
@click.option("--passphrase-stdin", is_flag=True, help="Read the passphrase from standard input.")
def open_check(store: Path | None, passphrase_stdin: bool) -> None:
    """Unlock a store and check its database, log, audit chain and attachments."""
    must_be_store(store)
    opened = unlocked(store, secret_line("Passphrase", stdin=passphrase_stdin))
    try:
        problems = opened.check()
    finally:
        opened.close()
    for problem in problems:
        click.echo(problem)
    if problems:
        sys.exit(NOT_GOOD)
    click.echo("Everything in this store checks out: database, log, audit chain and attachments.")


@hearthside.command()
@click.argument("store", required=False, type=click.Path(path_type=Path))
@click.option("--via", "via", required=True, metavar="URL", help="The place: a folder, or a webdavs: or s3: address.")
@click.option(
    "--found", "found", metavar="LABEL", help="Share this record for the first time; LABEL names this device."
)
@click.option("--fill-again", is_flag=True, help="The place is the right one and lost its files: put them there again.")
@click.option("--user", metavar="NAME", help="Name at the place; its password is asked for after the passphrase.")
@click.option("--passphrase-stdin", is_flag=True, help="Read passphrase, then password, from standard input.")
def sync(
    store: Path | None, via: str, found: str | None, fill_again: bool, user: str | None, passphrase_stdin: bool
) -> None:
    """Send and receive once; say what was sent, received, missing, and which device is silent."""
    from sync.transport.address import Credentials, read_address

    must_be_store(store)
    try:
        read_address(via)
    except Trouble as trouble:
        stop(trouble.sentence, UNUSABLE)
    passphrase = secret_line("Passphrase", stdin=passphrase_stdin)
    password = secret_line("Password", stdin=passphrase_stdin) if user is not None else ""
    opened = unlocked(store, passphrase)
    try:
        told = _round(opened, via, Credentials(user, password) if user is not None else None, found, fill_again)
    finally:
        opened.close()
    for sentence in told.sentences(_now()):
        click.echo(sentence)
    if not told.complete:
        sys.exit(NOT_GOOD)


def _now() -> datetime:
    return datetime.now(UTC)


def _round(store: Store, via: str, credentials: Credentials | None, found: str | None, fill_again: bool) -> Told:
    """One round; a store or place that cannot be used, and a round that was stopped, end the command."""
    from sync.exchange.practice import found_practice, practice_of
    from sync.exchange.round import sync_round
    from sync.exchange.troubles import EmptyTarget, ForeignTarget, NotFounded, SheetTooOld
    from sync.transport.opening import open_target
    from sync.wire.names import REPOSITORY

    try:
        target = open_target(via, credentials, own=store.device)
    except Trouble as trouble:
        stop(trouble.sentence, UNUSABLE)
    try:
        if found is not None and practice_of(store) is None:
            if target.get(REPOSITORY):
                raise ForeignTarget(place=target.label)  # noqa: TRY301 - before anything is founded
            found_practice(store, found, _now)
        return sync_round(store, target, clock=_now, refill=fill_again)
    except (EmptyTarget, ForeignTarget, NotFounded, SheetTooOld) as trouble:
        stop(trouble.sentence, UNUSABLE)
    except Trouble as trouble:
        stop(trouble.sentence, NOT_GOOD)
    finally:
        target.close()
