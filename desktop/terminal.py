"""What the commands share: how they end, how a secret is asked for, and how a store is opened from the terminal."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import TYPE_CHECKING, Final, NoReturn

import click
import platformdirs

from forms.trouble import Trouble

if TYPE_CHECKING:
    from storage.store import Store

__all__ = ["NOT_GOOD", "UNUSABLE", "default_folder", "must_be_store", "secret_line", "stop", "unlocked"]

NOT_GOOD: Final = 1
UNUSABLE: Final = 2


def stop(sentence: str, status: int) -> NoReturn:
    """Say one sentence and end the process."""
    click.echo(sentence, err=True)
    sys.exit(status)


def default_folder() -> Path:
    """Where a store is kept when none is named: the platform's usual data folder."""
    return Path(platformdirs.user_data_dir("Hearthside", appauthor=False, roaming=False))


def must_be_store(store: Path | None) -> None:
    """End the process unless this folder, or the usual one, holds a store. Asked before any secret is."""
    from storage.folder import Folder

    try:
        Folder(store if store is not None else default_folder()).must_be_store()
    except Trouble as trouble:
        stop(trouble.sentence, UNUSABLE)


def secret_line(what: str, *, stdin: bool) -> str:
    """A secret from the terminal, or the next line of standard input."""
    if stdin:
        return sys.stdin.readline().rstrip("\n")
    typed: str = click.prompt(what, hide_input=True, err=True)
    return typed


def unlocked(store: Path | None, passphrase: str) -> Store:
    """The store, open; ends the process when it cannot be."""
    from storage.vault import unlock

    try:
        return unlock(store if store is not None else default_folder(), passphrase)
    except Trouble as trouble:
        stop(trouble.sentence, UNUSABLE)
