"""A server that is out of order for a while is asked again; one that stays so is told; stopping is heard at once."""

from __future__ import annotations

import threading
from collections.abc import Callable, Iterator
from dataclasses import replace
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer

import pytest

from sync.transport.address import Credentials
from sync.transport.opening import open_target
from sync.transport.port import LARGEST, Target
from sync.transport.stored import Patience
from sync.transport.troubles import (
    Full,
    NoRight,
    NotEncrypted,
    NotKept,
    OutOfOrder,
    TooLarge,
    Unreachable,
    WrongPassword,
)
from sync.wire import names
from sync.wire.troubles import Stopped
from tests.helpers.engines import QUICK

FIRST, SECOND = names.change("a1" * 16, 1), names.change("a1" * 16, 2)
LIST = (
    b'<?xml version="1.0" encoding="utf-8"?><D:multistatus xmlns:D="DAV:"><D:response><D:href>/dav/</D:href><D:propstat>'
    b"<D:prop><D:getlastmodified>Tue, 03 Mar 2026 14:02:00 GMT</D:getlastmodified><D:resourcetype><D:collection/>"
    b"</D:resourcetype></D:prop><D:status>HTTP/1.1 200 OK</D:status></D:propstat></D:response></D:multistatus>"
)


class Server:
    """A small server that keeps what is put, and goes wrong as told: `says` are the next answers, by status."""

    def __init__(self) -> None:
        self.held: dict[str, bytes] = {}
        self.says: list[int] = []
        self.asked: list[str] = []
        self.length: int | None = None
        self.cut: Callable[[bytes], bytes] = bytes
        self.http = ThreadingHTTPServer(("127.0.0.1", 0), self._handler())
        self.thread = threading.Thread(target=self.http.serve_forever, kwargs={"poll_interval": 0.01})
        self.thread.start()

    @property
    def url(self) -> str:
        return f"webdav://127.0.0.1:{self.http.server_port}/dav"

    def open(self, patience: Patience = QUICK) -> Target:
        target = open_target(self.url, Credentials("visitor", "tallow lane"), patience=patience)
        self.asked.clear()
        return target

    def close(self) -> None:
        self.http.shutdown()
        self.http.server_close()
        self.thread.join()

    def _handler(server) -> type[BaseHTTPRequestHandler]:  # noqa: N805 - the handler has a self of its own
        class Handler(BaseHTTPRequestHandler):
            def log_message(self, *_given: object) -> None:
                pass

            def _answer(self) -> None:
                body = self.rfile.read(int(self.headers.get("content-length", "0")))
                server.asked.append(self.command)
                status = server.says.pop(0) if server.says else 0
                if not status and self.command == "PUT":
                    server.held[self.path] = server.cut(body)
                there = server.held.get(self.path)
                normal = {"PROPFIND": 207, "PUT": 201, "MKCOL": 201}.get(
                    self.command, 200 if there is not None else 404
                )
                data = LIST if self.command == "PROPFIND" else (there or b"") if self.command == "GET" else b""
                data = b"" if status else data
                self.send_response(status or normal)
                length = server.length if server.length is not None and self.command == "GET" else len(data)
                self.send_header("content-length", str(length))
                self.send_header("last-modified", "Tue, 03 Mar 2026 14:02:00 GMT")
                self.end_headers()
                self.wfile.write(data)

        for method in ("GET", "PUT", "HEAD", "PROPFIND", "MKCOL"):
            setattr(Handler, f"do_{method}", Handler._answer)
        return Handler


@pytest.fixture
def server() -> Iterator[Server]:
    made = Server()
    yield made
    made.close()


@pytest.mark.parametrize("status", [500, 502, 503, 504, 429, 408, 423])
def test_a_fault_that_passes_is_waited_out(server: Server, status: int) -> None:
    target = server.open()
    server.says = [status, status]
    target.put(FIRST, b"bytes")
    assert target.get(FIRST) == b"bytes"


@pytest.mark.parametrize("ask", [lambda t: t.get(FIRST), lambda t: t.size(FIRST), lambda t: t.names("c")])
def test_a_fault_that_stays_is_told_after_a_few_tries(server: Server, ask: Callable[[Target], object]) -> None:
    target = server.open()
    server.says = [503] * 20
    with pytest.raises(OutOfOrder, match=r"fault of its own \(503\)"):
        ask(target)
    assert len(server.asked) == QUICK.tries


def test_a_password_that_ends_to_hold_is_not_tried_again(server: Server) -> None:
    target = server.open()
    server.says = [401] * 20
    with pytest.raises(WrongPassword):
        target.get(FIRST)
    assert len(server.asked) == 1


def test_a_refusal_while_somebody_else_makes_the_folder_is_tried_once_more_and_a_real_one_told(server: Server) -> None:
    target = server.open()
    server.says = [404, 403]
    target.put(FIRST, b"bytes")
    assert target.get(FIRST) == b"bytes"
    other = server.open()
    server.says = [404, 403, 403]
    with pytest.raises(NoRight):
        other.put(SECOND, b"bytes")
    server.says = [404, 403]
    with pytest.raises(NoRight):  # the folder is known to be there by now: no is no
        target.put(SECOND, b"bytes")


def test_a_full_server_is_told(server: Server) -> None:
    target = server.open()
    server.says = [404, 507]
    with pytest.raises(Full):
        target.put(FIRST, b"bytes")


def test_a_fault_is_never_taken_for_absence(server: Server) -> None:
    target = server.open()
    for status in (400, 402, 406, 410, 451, 500):
        server.says = [status] * QUICK.tries
        with pytest.raises(OutOfOrder):
            target.get(FIRST)


def test_an_answer_cut_short_is_asked_for_again_and_never_taken_for_the_whole(server: Server) -> None:
    target = server.open()
    target.put(FIRST, b"bytes")
    server.length = 50
    with pytest.raises((Unreachable, OutOfOrder)):
        open_target(server.url, patience=replace(QUICK, tries=2, request=0.5)).get(FIRST)


def test_a_file_that_claims_to_be_huge_is_not_read(server: Server) -> None:
    target = server.open()
    target.put(FIRST, b"bytes")
    server.length = LARGEST + 1
    with pytest.raises(TooLarge):
        target.get(FIRST)


def test_a_server_that_keeps_half_and_says_that_all_is_well_is_told(server: Server) -> None:
    target = server.open()
    server.cut = lambda data: data[:3]
    with pytest.raises(NotKept):
        target.put(FIRST, b"bytes")
    server.cut = bytes
    target.put(FIRST, b"bytes")
    assert target.get(FIRST) == b"bytes"


@pytest.mark.parametrize(
    "ask", [lambda t: t.get(FIRST), lambda t: t.put(FIRST, b"x"), lambda t: list(t.get_all([FIRST] * 40))]
)
def test_stopping_is_heard_in_the_pause_between_tries(server: Server, ask: Callable[[Target], object]) -> None:
    patience = Patience(first=3_600, longest=3_600, cancel=threading.Event())
    target = server.open(patience)
    server.says = [503] * 100
    ended: list[BaseException] = []

    def run() -> None:
        try:
            ask(target)
        except Stopped as stopped:
            ended.append(stopped)

    thread = threading.Thread(target=run)
    thread.start()
    while not server.asked:
        thread.join(0.01)
    patience.cancel.set()
    thread.join(20)
    assert not thread.is_alive()
    assert ended
    asked = len(server.asked)
    with pytest.raises(Stopped):
        target.names("")
    assert len(server.asked) == asked


def test_pauses_grow_and_differ(monkeypatch: pytest.MonkeyPatch) -> None:
    waited: list[float] = []
    cancel = threading.Event()

    def wait(length: float) -> bool:
        waited.append(length)
        return False

    monkeypatch.setattr(cancel, "wait", wait)
    patience = Patience(first=1, longest=8, cancel=cancel)
    for _ in range(50):
        for done in range(1, 7):
            patience.pause(done)
    for done, length in enumerate((1, 2, 4, 8, 8, 8)):
        mine = waited[done::6]
        assert min(mine) >= length / 2
        assert max(mine) <= length * 1.5
        assert len(set(mine)) > 1


def test_an_address_beyond_this_machine_is_not_opened_unencrypted() -> None:
    with pytest.raises(NotEncrypted):
        open_target("webdav://files.example/a", Credentials("visitor", "tallow lane"))
