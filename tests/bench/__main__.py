"""Print every ratio: `python -m tests.bench`."""

from __future__ import annotations

import tempfile
from pathlib import Path

from tests.bench.autosave import autosave
from tests.bench.feed_tap import feed_tap
from tests.bench.joining import joining
from tests.bench.keystroke import keystroke
from tests.bench.merge import merge
from tests.bench.paper import paper
from tests.bench.paper_memory import paper_memory
from tests.bench.round_cost import round_cost
from tests.bench.start import start
from tests.bench.wire import wire


def main() -> None:
    """Each figure in a folder of its own that goes away."""
    for one in (autosave, feed_tap, keystroke, paper, paper_memory, round_cost, start, merge, joining, wire):
        with tempfile.TemporaryDirectory() as folder:
            print(one(Path(folder)).line(), flush=True)


if __name__ == "__main__":
    main()
