"""Hypothesis looks for a schedule of up to six devices that loses or hides a value, and makes it short when it finds one.

What it finds is kept in its own database and tried first from then on; each part begins from a seed of its own.
"""

from __future__ import annotations

from collections.abc import Callable

import pytest
from hypothesis import HealthCheck, seed, settings
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, initialize, invariant, rule, run_state_machine_as_test

from tests.helpers import schedules
from tests.helpers.schedules import Device, Story

PARTS, EACH, STEPS = 10, 200, 60
LUCK = st.integers(0, 2**64 - 1)
"""One number, from which the choices of a step are read one after another; 0 chooses the first of everything."""


class Devices(RuleBasedStateMachine):
    """The same steps as the seeded loop, each chosen by Hypothesis; every device is held after every step."""

    story: Story
    luck = 0

    def _choose(self, below: int) -> int:
        self.luck, chosen = divmod(self.luck, below)
        return chosen

    def _does(self, step: Callable[[Story, Device], None], luck: int) -> None:
        self.luck = luck
        step(self.story, self.story.devices[self._choose(len(self.story.devices))])

    @initialize(devices=st.integers(2, 5), acts=st.integers(0, schedules.WITH_ACTS - 1))
    def begin(self, devices: int, acts: int) -> None:
        self.luck = schedules.WITH_ACTS - 1 - acts
        self.story = Story(self._choose, devices)

    @rule(luck=LUCK)
    def write(self, luck: int) -> None:
        self._does(Story.write, luck)

    @rule(luck=LUCK)
    def write_over(self, luck: int) -> None:
        self._does(Story.write, luck)

    @rule(luck=LUCK)
    def sign(self, luck: int) -> None:
        self._does(Story.sign, luck)

    @rule(luck=LUCK)
    def addendum(self, luck: int) -> None:
        self._does(Story.addendum, luck)

    @rule(luck=LUCK)
    def strike(self, luck: int) -> None:
        self._does(Story.strike, luck)

    @rule(luck=LUCK)
    def newer(self, luck: int) -> None:
        self._does(Story.newer, luck)

    @rule(luck=LUCK)
    def clock(self, luck: int) -> None:
        self._does(Story.clock, luck)

    @rule(luck=LUCK)
    def crash(self, luck: int) -> None:
        self._does(Story.crash, luck)

    @rule(luck=LUCK)
    def restore(self, luck: int) -> None:
        self._does(Story.restore, luck)

    @rule(luck=LUCK)
    def copied(self, luck: int) -> None:
        self._does(Story.copied, luck)

    @rule(luck=LUCK)
    def part(self, luck: int) -> None:
        self._does(Story.part, luck)

    @rule(luck=LUCK)
    def send(self, luck: int) -> None:
        self._does(Story.send, luck)

    @rule(luck=LUCK)
    def arrive(self, luck: int) -> None:
        self._does(Story.arrive, luck)

    @rule(luck=LUCK)
    def act(self, luck: int) -> None:
        self._does(Story.act, luck)

    @invariant()
    def nothing_is_lost_or_hidden(self) -> None:
        self.story.check()

    def teardown(self) -> None:
        if hasattr(self, "story"):
            self.story.end()


@pytest.mark.parametrize("part", range(PARTS))
def test_no_schedule_that_hypothesis_finds_loses_or_hides_a_value(part: int) -> None:
    machine = seed(part)(type(f"Devices{part}", (Devices,), {}))
    run_state_machine_as_test(
        machine,
        settings=settings(
            max_examples=EACH,
            stateful_step_count=STEPS,
            deadline=None,
            suppress_health_check=[HealthCheck.too_slow, HealthCheck.data_too_large],
        ),
    )
