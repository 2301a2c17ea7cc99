"""Each engine is started when the first test asks for it and stopped with the session."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import ExitStack

import pytest

from tests.helpers.engines import ENGINES, Engine, Place

Started = Callable[[str], Engine]


@pytest.fixture(scope="session")
def started() -> Iterator[Started]:
    """An engine by its name, running; the same one for every test of this process."""
    running: dict[str, Engine] = {}
    with ExitStack() as ending:

        def start(name: str) -> Engine:
            if name not in running:
                running[name] = ending.enter_context(ENGINES[name]())
            return running[name]

        yield start


@pytest.fixture(scope="session", params=list(ENGINES))
def engine(request: pytest.FixtureRequest, started: Started) -> Engine:
    """Every engine in turn."""
    return started(request.param)


@pytest.fixture
def place(engine: Engine) -> Place:
    """A new, empty place on it."""
    return engine.place()
