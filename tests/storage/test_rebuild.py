"""Whatever is written in whatever order, the log alone gives the same record again."""

from __future__ import annotations

import shutil
import tempfile
from pathlib import Path
from typing import Any

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from forms.ask import Path as At
from forms.chart import Place
from storage.changes import Begin, Change, Put, Restore, StrikeOut
from storage.store import Store
from storage.troubles import ConflictAtSigning, VisitSigned
from tests.helpers.stores import AUTHOR, BABY, FAMILY, VISIT, grams
from tests.storage.conftest import Made, open_with

WEIGHTS = [f"{n:032x}" for n in range(4)]

step = st.one_of(
    st.tuples(
        st.just("put"), st.sampled_from(WEIGHTS), st.integers(2990, 2994), st.sampled_from(["now", "first", "none"])
    ),
    st.tuples(st.just("strike"), st.sampled_from(WEIGHTS)),
    st.tuples(st.just("restore"), st.sampled_from(WEIGHTS)),
    st.tuples(st.just("family"), st.sampled_from(["Ode", "Öde", None])),
    st.tuples(st.just("undo")),
    st.tuples(st.just("sign")),
)


def _change(store: Store, action: tuple[Any, ...]) -> list[Change]:
    kind, *more = action
    if kind == "family":
        return [Put(FAMILY, At("family_name"), more[0])]
    entity = more[0]
    begin = Begin(entity, Place("weight", FAMILY, VISIT, (BABY,)))
    if kind == "put":
        history = store.history(entity, At("weight"))
        seen = {"now": None, "none": (), "first": tuple(one.operation for one in history[:1])}[more[2]]
        return [begin, Put(entity, At("weight"), grams(more[1]), seen)]
    return [begin, StrikeOut(entity, "by hand") if kind == "strike" else Restore(entity, "by hand")]


def _do(store: Store, action: tuple[Any, ...]) -> None:
    try:
        if action[0] == "undo":
            store.undo(AUTHOR)
        elif action[0] == "sign":
            store.sign(VISIT, author=AUTHOR)
        else:
            store.write(_change(store, action), author=AUTHOR)
    except (VisitSigned, ConflictAtSigning):
        pass


@settings(max_examples=25, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(actions=st.lists(step, min_size=1, max_size=25))
def test_registers_and_caseload_always_equal_what_the_log_gives(
    template: Made, master: bytes, actions: list[tuple[Any, ...]]
) -> None:
    with tempfile.TemporaryDirectory() as home:
        folder = Path(home) / "store"
        shutil.copytree(template.folder, folder)
        store = open_with(folder, master)
        written: list[str] = []
        for action in actions:
            _do(store, action)
        assert store.differences() == ()
        chart, lines = store.chart(FAMILY), store.caseload()
        store.rebuild()
        assert (store.chart(FAMILY), store.caseload()) == (chart, lines)
        assert store.check() == ()
        # Nothing is ever lost: each value written stands, or is replaced by an operation that names it.
        for entity in WEIGHTS:
            history = store.history(entity, At("weight"))
            written += [one.operation for one in history]
            standing = {one.operation for one in store.heads(entity, At("weight"))}
            assert standing <= {one.operation for one in history}
            assert bool(standing) == bool(history)
        assert len(set(written)) == len(written)
        store.close()
        again = open_with(folder, master)
        assert again.chart(FAMILY) == chart
        assert again.told == ()
        again.close()
