"""The address of a place, read strictly: `file:`, `webdavs:` or `webdav:`, `s3:`. A password never stands in one.

file:///media/stick/practice            a folder; a bare absolute path means the same
webdavs://host[:port]/folder            WebDAV under TLS; webdav: is unencrypted
s3://host[:port]/bucket[/folder][?region=R]   S3 under TLS, the bucket in the path; s3+http: is unencrypted
"""

from __future__ import annotations

import ipaddress
from dataclasses import dataclass, field
from pathlib import Path
from typing import Final
from urllib.parse import parse_qs, unquote, urlsplit
from urllib.request import url2pathname

from sync.transport.troubles import BadAddress, NotEncrypted

__all__ = ["Address", "Credentials", "read_address"]

_PLAIN: Final = {"webdav": "webdavs", "s3+http": "s3"}
_SCHEMES: Final = {"file", "webdav", "webdavs", "s3", "s3+http"}


@dataclass(frozen=True, slots=True)
class Credentials:
    """A name and a password, or the id and the secret of an S3 key. Never printed."""

    user: str = field(repr=False)
    secret: str = field(repr=False)


@dataclass(frozen=True, slots=True)
class Address:
    """Where a place is. `label` may be shown; `path` is that of the folder, or bucket and folder."""

    scheme: str
    host: str
    path: str
    region: str = ""

    @property
    def label(self) -> str:
        """What to call it."""
        return self.path if self.scheme == "file" else f"{self.scheme}://{self.host}{self.path}"

    @property
    def url(self) -> str:
        """The address of the server in HTTP's terms."""
        return f"{'http' if self.scheme in _PLAIN else 'https'}://{self.host}"

    @property
    def plain(self) -> bool:
        """Whether what is said can be read on the way."""
        return self.scheme in _PLAIN


def read_address(text: str, *, plain: bool = False) -> Address:
    """The parts of an address. Raises BadAddress, and NotEncrypted for plain HTTP beyond this machine unless `plain`.

    No sentence repeats the address as typed, since a password may stand in it.
    """
    if Path(text).is_absolute():
        return _folder(Path(text))
    try:
        parts = urlsplit(text)
        port, query = parts.port, parse_qs(parts.query, strict_parsing=True) if parts.query else {}
    except ValueError:
        raise BadAddress(why="it does not read as one") from None
    scheme = parts.scheme.lower()
    if scheme not in _SCHEMES:
        raise BadAddress(why="it begins neither with file:, webdavs: nor s3:")
    if parts.username is not None or parts.password is not None or "@" in parts.netloc:
        raise BadAddress(why="a name or password stands in it; give those apart from it")
    if parts.fragment or set(query) - ({"region"} if scheme.startswith("s3") else set()):
        raise BadAddress(why="something stands behind its folder")
    if scheme == "file":
        if parts.netloc not in ("", "localhost") or not parts.path.startswith("/"):
            raise BadAddress(why="a file: address names a folder of this machine from its root on")
        return _folder(Path(url2pathname(parts.path)))
    path = "/" + unquote(parts.path).strip("/")
    if not parts.hostname or any(step in {".", "..", ""} for step in path[1:].split("/") if path != "/"):
        raise BadAddress(why="it names no server, or no plain folder")
    if scheme.startswith("s3") and path == "/":
        raise BadAddress(why="it names no bucket")
    host = f"[{parts.hostname}]" if ":" in parts.hostname else parts.hostname
    found = Address(scheme, host if port is None else f"{host}:{port}", path, query.get("region", [""])[0])
    if found.plain and not plain and not _loopback(parts.hostname):
        raise NotEncrypted(place=found.label, scheme=f"{scheme}:", better=f"{_PLAIN[scheme]}:")
    return found


def _folder(path: Path) -> Address:
    if not path.is_absolute():
        raise BadAddress(why="it names no folder from the root on")
    return Address("file", "", str(path))


def _loopback(host: str) -> bool:
    if host == "localhost":
        return True
    try:
        return ipaddress.ip_address(host).is_loopback
    except ValueError:
        return False
