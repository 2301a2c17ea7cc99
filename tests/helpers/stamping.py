"""A real authority for time stamps: `openssl ts` with certificates of its own, asked over HTTP on this machine."""

from __future__ import annotations

import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from datetime import UTC, datetime, timedelta
from functools import cache
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path
from socket import socket
from ssl import PROTOCOL_TLS_SERVER, SSLContext
from subprocess import run
from tempfile import TemporaryDirectory
from threading import Event, Lock, Thread
from typing import Any

from cryptography import x509
from cryptography.hazmat.primitives import hashes
from cryptography.hazmat.primitives.asymmetric import ec, rsa
from cryptography.hazmat.primitives.serialization import Encoding, NoEncryption, PrivateFormat
from cryptography.x509.oid import ExtendedKeyUsageOID, NameOID

from sync.handoff.stamping import Stamping
from tests.helpers.certificates import Certificate
from tests.helpers.checked_papers import practice, sealed_by

__all__ = ["BY", "Authority", "Service", "no_connection", "serving", "stamped_paper"]

BY = "Larkmere Clock Service"

_CONFIG = """
[tsa]
default_tsa = here
[here]
serial = {folder}/serial
crypto_device = builtin
signer_cert = {folder}/maker.pem
certs = {folder}/above.pem
signer_key = {folder}/maker.key
signer_digest = sha256
default_policy = 1.2.3.4.1
digests = sha256, sha384, sha512
accuracy = secs:1
ordering = no
tsa_name = yes
ess_cert_id_chain = no
ess_cert_id_alg = {ess}
"""


def _certificate(
    name: str, key: Any, issuer: tuple[x509.Certificate, Any] | None, *, stamps: bool = False, ended: bool = False
) -> x509.Certificate:
    called = x509.Name([x509.NameAttribute(NameOID.COMMON_NAME, name)])
    now = datetime.now(UTC) - timedelta(days=90 * ended)
    made = (
        x509.CertificateBuilder()
        .subject_name(called)
        .issuer_name(issuer[0].subject if issuer else called)
        .public_key(key.public_key())
        .serial_number(x509.random_serial_number())
        .not_valid_before(now - timedelta(days=1))
        .not_valid_after(now + timedelta(days=30))
        .add_extension(x509.BasicConstraints(ca=not stamps, path_length=None), critical=True)
    )
    if stamps:
        made = made.add_extension(x509.ExtendedKeyUsage([ExtendedKeyUsageOID.TIME_STAMPING]), critical=True)
    return made.sign(issuer[1] if issuer else key, hashes.SHA256())


class Authority:
    """Stamps what it is asked to. `top`: the certificate at its top goes along; `ended`: its own does not hold today."""

    def __init__(
        self, folder: Path, *, kind: str = "RSA", top: bool = True, ess: str = "sha256", name: str = BY,
        ended: bool = False,
    ) -> None:  # fmt: skip
        make: Callable[[], Any] = (
            (lambda: rsa.generate_private_key(65537, 2048))
            if kind == "RSA"
            else lambda: ec.generate_private_key(ec.SECP256R1())
        )
        root_key, middle_key, key = make(), make(), make()
        root = _certificate("Larkmere Clock Root", root_key, None)
        middle = _certificate("Larkmere Clock Authority", middle_key, (root, root_key))
        maker = _certificate(name, key, (middle, middle_key), stamps=True, ended=ended)
        pem = [one.public_bytes(Encoding.PEM) for one in (maker, middle, root)]
        (folder / "maker.pem").write_bytes(pem[0])
        (folder / "above.pem").write_bytes(b"".join(pem[1:] if top else pem[1:2]))
        private = key.private_bytes(Encoding.PEM, PrivateFormat.PKCS8, NoEncryption())
        (folder / "maker.key").write_bytes(private)
        (folder / "serial").write_text("01\n")
        (folder / "tsa.cnf").write_text(_CONFIG.format(folder=folder, ess=ess))
        self._folder, self._one = folder, Lock()
        self.root, self.key = pem[2], key

    def stamp(self, query: bytes) -> bytes:
        """The answer (DER) to a query (DER)."""
        with self._one:
            asked, out = self._folder / "query.tsq", self._folder / "answer.tsr"
            asked.write_bytes(query)
            run(
                ["openssl", "ts", "-reply", "-queryfile", asked, "-config", self._folder / "tsa.cnf", "-out", out],
                check=True, capture_output=True,
            )  # fmt: skip
            return out.read_bytes()


class Service:
    """Who answers at `address`; `asked` holds each query that came, `heads` what came above it."""

    def __init__(self, answer: Callable[[bytes], bytes], status: int = 200, where: str = "") -> None:
        self.answer, self.status, self.where = answer, status, where
        self.asked: list[bytes] = []
        self.heads: list[dict[str, str]] = []
        self.address = ""
        self.done = Event()


def _under_tls(plain: socket, shown: Certificate) -> socket:
    context = SSLContext(PROTOCOL_TLS_SERVER)
    with TemporaryDirectory(prefix="clock-") as folder:
        kept = Path(folder) / "both.pem"
        kept.write_bytes(shown.both)
        context.load_cert_chain(kept)
    return context.wrap_socket(plain, server_side=True)


@contextmanager
def serving(
    answer: Callable[[bytes], bytes], *, status: int = 200, where: str = "", shown: Certificate | None = None,
    drips: bool = False,
) -> Iterator[Service]:  # fmt: skip
    """A service that answers each query so, with that status; `where` is whom a redirect names.

    Under TLS with the certificate it shows, if one is `shown`. If it `drips`, an answer comes byte by byte without end.
    """
    service = Service(answer, status, where)

    class Handler(BaseHTTPRequestHandler):
        def do_POST(self) -> None:
            query = self.rfile.read(int(self.headers["Content-Length"]))
            service.asked.append(query)
            service.heads.append(dict(self.headers))
            found = service.answer(query)
            try:
                self.send_response(service.status)
                if service.where:
                    self.send_header("Location", service.where)
                self.send_header("Content-Type", "application/timestamp-reply")
                self.send_header("Content-Length", str(len(found) + 1_000_000 * drips))
                self.end_headers()
                self.wfile.write(found)
                while drips and not service.done.wait(0.02):
                    self.wfile.write(b"0")
            except OSError:
                """Whoever asked has gone."""

        def log_message(self, *_told: object) -> None:
            """Nothing is told."""

    with ThreadingHTTPServer(("127.0.0.1", 0), Handler) as server:
        server.daemon_threads = True
        if shown is not None:
            server.socket = _under_tls(server.socket, shown)
        thread = Thread(target=server.serve_forever, kwargs={"poll_interval": 0.05})
        thread.start()
        scheme = "http" if shown is None else "https"
        service.address = f"{scheme}://127.0.0.1:{server.server_port}/stamp?for=papers"
        try:
            yield service
        finally:
            service.done.set()
            server.shutdown()
            thread.join()


@cache
def stamped_paper() -> bytes:
    """A paper of another practice with a time stamp inside."""
    with TemporaryDirectory(prefix="clock-") as folder, serving(Authority(Path(folder)).stamp) as service:
        return sealed_by(practice().seal, stamping=Stamping(service.address))


@contextmanager
def no_connection() -> Iterator[None]:
    """Fails where anything of this process looks for a host or connects to one."""
    seen: list[str] = []
    on = [True]
    sys.addaudithook(
        lambda event, _with: (
            seen.append(event) if on and event in ("socket.connect", "socket.getaddrinfo", "socket.sendto") else None
        )
    )
    yield
    on.clear()
    assert seen == []
