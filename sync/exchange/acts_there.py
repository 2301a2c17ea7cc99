"""Every act of membership that lies at a target, for a device that knows none yet."""

from __future__ import annotations

from sync.exchange.troubles import NewerActs
from sync.membership.acts import Act, read_act
from sync.membership.roster import genuine
from sync.transport.port import Target
from sync.wire import names
from sync.wire.troubles import BadFile

__all__ = ["acts_there"]


def acts_there(target: Target, founding: str | None = None) -> tuple[Act, ...]:
    """The acts, those of each maker in order up to the first that does not read or was changed on its way.

    Raises NewerActs when a newer version wrote one. Who may be believed is not asked.
    `founding` is the founding act where it is known: no other is taken then.
    """
    found: list[Act] = []
    _names, folders = target.names(names.MEMBERS)
    for chain in sorted(folder.rpartition("/")[2] for folder in folders):
        seq = 1
        while raw := target.get(names.act(chain, seq)):
            try:
                act = read_act(raw)
            except BadFile as bad:
                if bad.newer:
                    raise NewerActs from None
                break
            if (act.by, act.seq) != (chain, seq):
                break
            found.append(act)
            seq += 1
    return genuine(found, founding=founding)[0]
