"""A process that charts without pause until it is killed: each answer is printed once the store says it is saved.

    python -m tests.helpers.autosaver FOLDER

The passphrase comes first on standard input, then a number a line; each begins one such process at that number, whose
process id is printed. Forking from a process that has everything loaded saves a start of Python for each kill.
"""

from __future__ import annotations

import os
import sys
from itertools import count
from pathlib import Path

from forms.ask import Path as At
from forms.chart import Place
from forms.people import Family
from forms.weight import WeightReading
from storage.drafts import Draft
from storage.vault import unlock
from tests.helpers.stores import AUTHOR, BABY, FAMILY, grams


def chart(folder: Path, passphrase: str, first: int) -> None:
    store = unlock(folder, passphrase)
    family = Draft.opened(store, FAMILY, Place("family", FAMILY), Family)
    for n in count(first):
        family.put(At("pets"), f"{n} hens")
        family.save(store, author=AUTHOR)
        draft = Draft(f"{n:032x}", Place("weight", FAMILY, None, (BABY,)), WeightReading)
        draft.put(At("weight"), grams(3000 + n))
        draft.save(store, author=AUTHOR)
        os.write(1, f"{n}\n".encode())
        if n % 17 == 0:
            store.settle()


def main(folder: Path) -> None:
    passphrase = sys.stdin.readline().strip()
    for line in iter(sys.stdin.readline, ""):
        child = os.fork()
        if child == 0:
            try:
                chart(folder, passphrase, int(line))
            finally:
                os._exit(1)
        os.write(1, f"process {child}\n".encode())
        os.waitpid(child, 0)
        os.write(1, b"gone\n")


if __name__ == "__main__":
    main(Path(sys.argv[1]))
