"""The password of a locked paper, sealed on this device: from before the file has its name until she says it is told.

After that it is kept only on her word. Both are named by the entry that says the paper left, and neither leaves the
device.
"""

from __future__ import annotations

from collections.abc import Iterable

from storage.store import Store

__all__ = ["hold", "is_told", "keep", "kept_among", "kept_password", "untold_among", "untold_password"]


def _kept(entry: str) -> str:
    return f"paper-password-{entry}"


def _untold(entry: str) -> str:
    return f"paper-password-untold-{entry}"


def hold(store: Store, entry: str, password: str) -> None:
    """Keeps the password of a paper that is about to leave, until `is_told` or `keep`."""
    store.keep_secret(_untold(entry), password.encode())


def is_told(store: Store, entry: str) -> None:
    """Forgets a password that waited to be told; one that is kept on her word stays."""
    store.drop_secret(_untold(entry))


def keep(store: Store, entry: str, password: str) -> None:
    """Keeps a password with the record; it waits no more."""
    store.keep_secret(_kept(entry), password.encode())
    store.drop_secret(_untold(entry))


def _read(store: Store, name: str) -> str | None:
    found = store.secret(name)
    return found.decode() if found is not None else None


def kept_password(store: Store, entry: str) -> str | None:
    """The password of a paper that left, if it was kept on this device."""
    return _read(store, _kept(entry))


def untold_password(store: Store, entry: str) -> str | None:
    """The password of a paper that left from this device, if nobody said yet that it is told."""
    return _read(store, _untold(entry))


def kept_among(store: Store, entries: Iterable[str]) -> frozenset[str]:
    """Those of these papers whose passwords are kept on this device."""
    return frozenset(entry for entry in entries if kept_password(store, entry) is not None)


def untold_among(store: Store, entries: Iterable[str]) -> tuple[tuple[str, str], ...]:
    """Those of these papers whose passwords still wait to be told, with the password, in the order given."""
    return tuple((one, found) for one in entries if (found := untold_password(store, one)) is not None)
