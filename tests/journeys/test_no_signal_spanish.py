"""No signal, Spanish, left the same day: a whole first visit offline, its papers, and the same record on both devices.

The process of the visit has no network at all, where the system lets a test take it away, and runs under a trace of the
system, so that a socket opened and closed again is seen as well. Asking for printers asks this machine's own print
service, at its usual port on loopback; that and nothing else is allowed.
"""

from __future__ import annotations

import re
import shutil
import subprocess
import sys
from dataclasses import dataclass
from hashlib import sha256
from pathlib import Path

import pikepdf
import pytest

from demo_db.build import PASSPHRASE
from demo_db.ticking import TickingClock, at
from forms.answers import Moment
from forms.family_language import FamilyLanguage
from forms.plan import Plan, PlanTask
from forms.referral import PaperIssued
from storage.store import Store
from storage.vault import unlock
from sync.exchange.practice import found_practice
from sync.exchange.round import sync_round
from sync.handoff.verify import verify
from sync.transport.opening import open_target
from tests.helpers.apart import apart_in
from tests.helpers.papers import paper_text
from tests.helpers.shelf import device, joined
from tests.helpers.spanish_visit import GOAL, GOAL_IN_SPANISH

PAPERS = ("plan-en.pdf", "plan-es.pdf", "plan-es-large.pdf")
OPENED = re.compile(r"socket\((?:AF_INET6?|AF_NETLINK|AF_PACKET)\b")
REACHED = re.compile(r"sin6?_port|nl_family|sll_ifindex")
PRINT_SERVICE = re.compile(r'sin6?_port=htons\(631\).*(?:inet_addr\("127\.0\.0\.1"\)|"::1")')
OFF = (
    ("unshare", "-n")
    if subprocess.run(("unshare", "-n", "true"), capture_output=True, check=False).returncode == 0
    else ()
)
"""A process begun with these has no network, not even loopback; empty where that is not allowed."""


@dataclass(frozen=True, slots=True)
class Visited:
    """What the visit left: its folder, the trace of its calls to the network, and the ids it told."""

    here: Path
    trace: str
    family: str
    visit: str


@pytest.fixture(scope="module")
def visited(founded: Path, tmp_path_factory: pytest.TempPathFactory) -> Visited:
    here = tmp_path_factory.mktemp("spanish")
    shutil.copytree(founded, here / "store")
    (here / "out").mkdir()
    trace = here / "trace"
    done = subprocess.run(
        [*OFF, "strace", "-f", "--seccomp-bpf", "-qq", "-e", "trace=%network", "-o", trace,
         sys.executable, "-m", "tests.helpers.spanish_visit", here / "store", here / "out"],
        cwd=here, env=apart_in(here), capture_output=True, text=True, check=False,
    )  # fmt: skip
    assert done.returncode == 0, done.stderr[-4000:]
    family, visit = done.stdout.split()
    return Visited(here, trace.read_text(errors="replace"), family, visit)


@pytest.fixture
def store(visited: Visited, tmp_path: Path) -> Store:
    """The record after the visit."""
    return unlock(Path(shutil.copytree(visited.here / "store", tmp_path / "laptop")), PASSPHRASE)


def figures(text: str) -> list[str]:
    return re.findall(r"\d[\d.,:]*\d|\d", text)


def squeezed(text: str) -> str:
    """A text without white space: where a line of a paper ends there is none in its structure."""
    return re.sub(r"\s+", "", text)


def structure(paper: Path) -> str:
    """A paper as its structure is read out, without page numbers."""
    done = subprocess.run(["pdfinfo", "-struct-text", str(paper)], capture_output=True, check=True, text=True)
    return " ".join(re.findall(r'"(.*)"', done.stdout)).replace("\u00a0", " ")


def test_no_socket_to_any_network_is_opened_from_before_the_unlock_to_the_end(visited: Visited) -> None:
    assert astray(visited.trace) == []


def astray(trace: str) -> list[str]:
    """Lines of a trace that reach for a network: an address, or a socket for one that was opened for nothing allowed."""
    lines = trace.splitlines()
    reached = [line for line in lines if REACHED.search(line)]
    elsewhere = [line for line in reached if not PRINT_SERVICE.search(line)]
    opened = [line for line in lines if OPENED.search(line)]
    return elsewhere or (opened if len(opened) > len(reached) else [])


@pytest.mark.parametrize(
    "asked", ["socket.socket(socket.AF_INET, socket.SOCK_DGRAM)", "socket.create_connection(('127.0.0.1', 9))"]
)
def test_a_socket_would_be_seen(asked: str, tmp_path: Path) -> None:
    trace = tmp_path / "trace"
    program = f"import contextlib, socket\nwith contextlib.suppress(OSError): {asked}"
    subprocess.run(
        ["strace", "-f", "--seccomp-bpf", "-qq", "-e", "trace=%network", "-o", trace, sys.executable, "-c", program],
        check=True,
    )
    assert astray(trace.read_text())


def test_the_spanish_plan_has_her_tasks_and_amounts_and_large_print_keeps_to_two_pages(visited: Visited) -> None:
    for name in ("plan-es.pdf", "plan-es-large.pdf"):
        said = squeezed(structure(visited.here / "out" / name))
        for words in (
            "Nuestro plan para Andrés", "para Lucía", "28 de febrero de 2026", f"“{GOAL_IN_SPANISH}”",
            "Alimente a su bebé con las primeras señales de hambre", "Recuéstese hacia atrás",
            "Después de 4 tomas cada día, dé 30 mL (1 oz) de su propia leche.", "Llame ahora si…", "911", "988",
            "aún no lo ha revisado", "is not yet reviewed", "Este plan trata de la alimentación.",
        ):  # fmt: skip
            assert squeezed(words) in said, words
        assert squeezed(GOAL) not in said
        with pikepdf.open(visited.here / "out" / name) as pdf:
            assert len(pdf.pages) <= 2
            assert str(pdf.Root.Lang) == "es"


def test_the_english_twin_has_the_same_figures_in_the_same_order(visited: Visited) -> None:
    english, spanish, large = (figures(structure(visited.here / "out" / name)) for name in PAPERS)
    assert english == spanish == large
    cells = structure(visited.here / "out" / "plan-es.pdf")
    assert re.search(r"30\s?mL.*?1\s?oz.*?4 veces.*?120\s?mL.*?4\s?oz", cells)
    assert "30 mL (1 oz)" in paper_text(visited.here / "out" / "plan-en.pdf").replace("\u00a0", " ")


def test_the_printed_pages_are_the_large_spanish_ones(visited: Visited) -> None:
    with pikepdf.open(visited.here / "out" / "printed.pdf") as pdf:
        assert len(pdf.pages) == 2


def test_each_paper_carries_a_seal_that_checks(visited: Visited) -> None:
    for name in PAPERS:
        paper = visited.here / "out" / name
        assert verify(paper.read_bytes()).good
        told = subprocess.run(["pdfsig", str(paper)], capture_output=True, text=True, check=False).stdout
        assert "Signature is Valid." in told
        assert "Total document signed" in told


def test_how_it_was_left_stands_in_the_record_with_what_left(visited: Visited, store: Store) -> None:
    chart = store.chart(visited.family, visited.visit)
    plan = chart.one(Plan)
    assert (plan.left_how, plan.left_with, plan.teach_back, plan.language) == (
        ("printed",), "mother and aunt", ("said",), "es",
    )  # fmt: skip
    assert isinstance(plan.left_at, Moment)
    assert plan.left_at.local().strftime("%H:%M") == "15:40"
    assert len(chart.all(PlanTask, visit=visited.visit)) == 3
    assert chart.signed() is not None
    issued = {(e.answers.language, e.answers.left_how) for e in chart.all(PaperIssued)}
    assert issued == {("en", "plain"), ("es", "plain"), ("es", "printed")}
    assert {e.answers.english for e in chart.all(FamilyLanguage)} >= {GOAL}
    store.close()


def test_after_reconnecting_both_devices_hold_the_same_record_and_the_same_paper_byte_for_byte(
    visited: Visited, store: Store, tmp_path: Path
) -> None:
    clock = TickingClock(at("2026-03-01 09:00"))
    tablet, meeting = device(tmp_path, "tablet", at=at("2026-03-01 09:00")).store, tmp_path / "stick"
    meeting.mkdir()
    found_practice(store, "Laptop", clock)
    joined(store, tablet, "Tablet")
    for one in (store, tablet, store):
        sync_round(one, open_target(str(meeting), own=one.device), clock=clock)
    assert store.exchange().digest() == tablet.exchange().digest()
    for name in PAPERS:
        paper = (visited.here / "out" / name).read_bytes()
        named = sha256(paper).hexdigest()
        assert named in {e.answers.sha256 for e in tablet.chart(visited.family, visited.visit).all(PaperIssued)}
        assert store.attachment(named) == tablet.attachment(named) == paper
    assert store.chart(visited.family, visited.visit).signed() == tablet.chart(visited.family, visited.visit).signed()
    for one in (store, tablet):
        assert one.check() == ()
        one.close()
