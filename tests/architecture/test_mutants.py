"""Seeded faults in the core, one at a time on a copy of the project: the tests that guard it must fail for each."""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

from tests.architecture.fault import Fault
from tests.architecture.faults_of_merging import FAULTS_OF_MERGING

ROOT = Path(__file__).resolve().parents[2]
PARTS = ("forms", "storage", "sync", "demo_db", "tests", "pyproject.toml")

FAULTS = (
    Fault(
        "a draft overwrites what somebody else wrote meanwhile", "storage/writing.py",
        "parents = tuple(sorted(set(change.replaces)))", "parents = tuple(head.operation for head in standing)",
        ("tests/storage/test_drafts.py",),
    ),
    Fault(
        "a signed visit takes further writes", "storage/signing.py",
        "    if heads(c, visit, SIGNED):\n        raise VisitSigned", "    return",
        ("tests/storage/test_signing.py",),
    ),
    Fault(
        "undo brings one value of a conflict back and drops the other", "storage/writing.py",
        "for value, restores, reason in before or [(None, None, TAKEN_BACK)]:",
        "for value, restores, reason in before[:1] or [(None, None, TAKEN_BACK)]:",
        ("tests/storage/test_undo.py",),
    ),
    Fault(
        "the tail is believed whatever its MAC", "storage/tail.py",
        "or not hmac.compare_digest(hmac.digest(key, body, sha256), mac)", "",
        ("tests/storage/test_tail.py",),
    ),
    Fault(
        "a log shorter than its tail is not told", "storage/opening.py",
        "if count < proof.operations:", "if count > proof.operations:",
        ("tests/storage/test_damage.py", "-k", "log"),
    ),
    Fault(
        "a damaged slot is taken for a wrong passphrase", "storage/keys.py",
        "sha256(body).digest() != kept_sum", "False",
        ("tests/storage/test_keys.py", "-k", "slot"),
    ),
    Fault(
        "stored key figures are run whatever they are", "storage/keys.py",
        "FLOOR.memory <= self.memory <= _CEILING.memory", "self.memory > 0",
        ("tests/storage/test_keys.py", "-k", "figures"),
    ),
    Fault(
        "one of two conflicting values is quietly taken", "storage/charts.py",
        "    if len(values) == 1:\n", "    if values:\n",
        ("tests/storage/test_drafts.py",),
    ),
    Fault(
        "exactly ten percent no longer counts", "forms/clinical/weight.py",
        "return -100 * self.change >= percent * self.birth", "return -100 * self.change > percent * self.birth",
        ("tests/forms/clinical/test_weight.py",),
    ),
    Fault(
        "a gain of exactly 20 g a day is called slow", "forms/clinical/prompts_growth.py",
        "if not 0 < per_day < least:", "if not 0 < per_day <= least:",
        ("tests/forms/clinical/test_prompts_growth.py",),
    ),
    Fault(
        "exactly 7 of 10 no longer counts as very strong pain", "forms/clinical/prompts_breast.py",
        'if worst >= parent.limits.at("pain_prompt")', 'if worst > parent.limits.at("pain_prompt")',
        ("tests/forms/clinical/test_prompts_breast.py",),
    ),
    Fault(
        "exactly 440 mL in a day counts as too little", "forms/clinical/prompts_milk.py",
        "if amount.base < LOWER_LIMIT", "if amount.base <= LOWER_LIMIT",
        ("tests/forms/clinical/test_prompts_milk.py",),
    ),
    Fault(
        "a part of a score that was not filled in counts as 0", "forms/clinical/prompts_scores.py",
        "sum(min(values) for values in parts) if all(parts) else None", "sum(min(values, default=0) for values in parts)",
        ("tests/forms/clinical/test_prompts_scores.py",),
    ),
    Fault(
        "safety rules look at one value of a conflict", "forms/answers.py",
        "if v.value is not None and not isinstance(v.value, Absent))",
        "if v.value is not None and not isinstance(v.value, Absent))[:1]",
        ("tests/forms/clinical", "-k", "conflict"),
    ),
    Fault(
        "a suck tapped in a pause does not end the pause", "forms/clinical/feed_line.py",
        "            self._close_part(at)\n            self.part = at\n", "            return\n",
        ("tests/forms/clinical/test_feed_line.py",),
    ),
    Fault(
        "a latch on the other side leaves the first one running", "forms/clinical/feed_line.py",
        '            other.let_go(event.at, "switched")', "            other.sucks = 0",
        ("tests/forms/clinical/test_feed_line.py",),
    ),
    Fault(
        "an event with two values counts as what it first said", "forms/clinical/feed_taps.py",
        "if _in_conflict(entry.answers):", "if not entry.id:",
        ("tests/forms/clinical/test_feed_line.py", "-k", "unresolved"),
    ),
    Fault(
        "a feed follows the wall clock", "forms/clinical/feed_clock.py",
        'found, doubt = _anchored(events, reading), ""', 'found, doubt = now, ""',
        ("tests/forms/clinical/test_feed_clock.py",),
    ),
    Fault(
        "a side's rate counts what was drunk outside the weights", "forms/clinical/feed_numbers.py",
        "    if outside is not None:", "    if outside is None and not grams:",
        ("tests/forms/clinical/test_feed_numbers.py",),
    ),
    Fault(
        "a paper with something against it is called whole", "sync/handoff/verify.py",
        "return self.state is State.WHOLE", "return True",
        ("tests/sync/test_sealed.py", "-k", "tamper"),
    ),
    Fault(
        "an answer stands on a paper it is not meant for", "forms/papers/said.py",
        "return not ask.private and isinstance(ask.paper, Printed) and self.paper in ask.paper.on", "return True",
        ("tests/forms/papers",),
    ),
)  # fmt: skip


@pytest.mark.parametrize("fault", [*FAULTS, *FAULTS_OF_MERGING], ids=lambda fault: fault.name)
def test_a_seeded_fault_is_caught(fault: Fault, tmp_path: Path) -> None:
    for part in PARTS:
        whole = ROOT / part
        if whole.is_dir():
            shutil.copytree(whole, tmp_path / part, ignore=shutil.ignore_patterns("__pycache__"))
        else:
            shutil.copy(whole, tmp_path / part)
    target = tmp_path / fault.file
    source = target.read_text("utf-8")
    assert fault.right in source, f"{fault.file} no longer reads so; seed this fault anew"
    target.write_text(source.replace(fault.right, fault.wrong), "utf-8")
    run = subprocess.run(
        [sys.executable, "-m", "pytest", "-x", "-q", *fault.guards],
        cwd=tmp_path,
        capture_output=True,
        text=True,
        check=False,
        env={**os.environ, "PYTHONPATH": str(tmp_path), "PYTHONDONTWRITEBYTECODE": "1"},
    )
    # 1: a test failed. Anything else (no test ran, the copy does not even import) proves nothing.
    assert run.returncode == 1, run.stdout[-2000:] + run.stderr[-2000:]
    assert "ImportError" not in run.stdout
    assert "SyntaxError" not in run.stdout
    assert "NameError" not in run.stdout
