"""How far each chain is known, also where the files that prove it are still to come."""

from __future__ import annotations

from collections.abc import Mapping

from storage.exchange import Exchange

__all__ = ["known_end", "known_ends"]


def known_ends(exchange: Exchange) -> Mapping[str, tuple[int, str]]:
    """Number and hash of each chain's last file: of those here without a hole, or as a snapshot named it."""
    found = dict(exchange.ends())
    for chain, promise in exchange.promises().named().items():
        if promise.number > found.get(chain, (0, ""))[0]:
            found[chain] = promise.number, promise.hash
    return found


def known_end(exchange: Exchange, chain: str) -> tuple[int, str]:
    """The same of one chain; 0 and "" where nothing of it is known."""
    here, promise = exchange.end(chain), exchange.promises().named().get(chain)
    return (promise.number, promise.hash) if promise is not None and promise.number > here[0] else here
