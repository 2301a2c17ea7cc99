"""The ledger of every key ever shipped: each field of each form, and each code of its options.

Records outlive versions, so a key keeps its meaning for good: it may be retired, but never comes back with another.
After adding a field or an option, add it with

    python -m tests.architecture.ledger --add

and after taking one out, retire its keys with `--retire form.field` (or `form.field:code`), which keeps their lines.
"""

from __future__ import annotations

import sys
from pathlib import Path

import forms.all  # noqa: F401 - fills the catalogue
from forms.ask import asks
from forms.form import catalog
from forms.units import UNITS

__all__ = ["LEDGER", "RETIRED", "changed", "declared", "read", "written"]

LEDGER = Path(__file__).with_name("ledger.txt")
RETIRED = "retired"


def declared() -> dict[str, str]:
    """Every key the forms declare now, with what it holds."""
    keys: dict[str, str] = {}
    for form in catalog().values():
        for name, ask in asks(form).items():
            of = f" of {UNITS[ask.units[0]].dimension}" if ask.units else ""
            keys[f"{form.name}.{name}"] = f"{ask.kind.value}{of}{' on each side' if ask.sides else ''}"
            keys.update({f"{form.name}.{name}:{code}": "option" for code in ask.options})
    return keys


def read(text: str) -> dict[str, str]:
    """The keys of a ledger, each with what it holds; a retired one ends in "retired". Raises ValueError for a double."""
    keys: dict[str, str] = {}
    for line in text.splitlines():
        key, _, holds = line.partition(" ")
        if key in keys:
            raise ValueError(f"{key} stands twice in the ledger")
        keys[key] = holds
    return keys


def written(keys: dict[str, str]) -> str:
    """The text of a ledger."""
    return "".join(f"{key} {holds}\n" for key, holds in sorted(keys.items()))


def changed(kept: dict[str, str], now: dict[str, str]) -> list[str]:
    """What no version may do: change what a key holds, bring back a retired one, or let one vanish."""
    wrong = []
    for key, holds in kept.items():
        if holds.endswith(RETIRED):
            if key in now:
                wrong.append(f"{key} is retired; give the new question another name")
        elif key not in now:
            wrong.append(f"{key} was shipped and is gone; retire it")
        elif now[key] != holds:
            wrong.append(f"{key} was shipped as {holds} and is now {now[key]}; give it another name")
    return wrong


def main(words: list[str]) -> int:
    """Adds what is new, or retires what is named; 1 if a shipped key would change."""
    kept, now = read(LEDGER.read_text("utf-8")) if LEDGER.exists() else {}, declared()
    match words:
        case ["--add"]:
            wrong = changed(kept, now)
            if wrong:
                print("\n".join(wrong))
                return 1
            kept |= now
        case ["--retire", *names] if names:
            for name in names:
                if name in now or name not in kept:
                    print(f"{name} is {'still declared' if name in now else 'not in the ledger'}; nothing was changed")
                    return 1
            gone = [key for key in kept if key in names or key.partition(":")[0] in names]
            kept |= {key: f"{kept[key]} {RETIRED}" for key in gone if not kept[key].endswith(RETIRED)}
        case _:
            print(__doc__)
            return 2
    LEDGER.write_text(written(kept), "utf-8")
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
