"""Opens a place from its address and credentials."""

from __future__ import annotations

import base64
from collections.abc import Callable
from datetime import timedelta
from pathlib import Path
from typing import TYPE_CHECKING
from urllib.parse import quote

from obstore.store import HTTPStore, S3Store

from sync.transport.address import Address, Credentials, read_address
from sync.transport.folder import Folder
from sync.transport.port import Target
from sync.transport.stored import Patience, Stored
from sync.transport.troubles import BadAddress

if TYPE_CHECKING:
    from obstore.store import ClientConfig, RetryConfig, S3Credential

__all__ = ["open_target"]

_ONE_TRY: RetryConfig = {"max_retries": 0, "retry_timeout": timedelta(seconds=1)}


def open_target(
    url: str, credentials: Credentials | None = None, *, own: str | None = None, certificate: bytes | None = None,
    plain: bool = False, patience: Patience | None = None, progress: Callable[[int], None] = lambda _done: None,
) -> Target:  # fmt: skip
    """The place at an address, once it has answered.

    `own` is the chain of this device, whose broken-off writes are swept away. `certificate` (PEM) is vouched for beside
    those the system knows; there is no way to do without one. `plain` allows plain HTTP beyond this machine. `progress`
    is told how many of `get_all` have come. Raises BadAddress, NotEncrypted, and whatever stands in the way there.
    """
    address, patience = read_address(url, plain=plain), patience or Patience()
    target: Stored
    if address.scheme == "file":
        target = Folder(Path(address.path), patience=patience, progress=progress)
    elif address.scheme.startswith("s3"):
        store = _s3(address, credentials, _client(address, patience, certificate))
        target = Stored(store, address.label, create=True, patience=patience, progress=progress)
    else:
        target = _webdav(address, credentials, _client(address, patience, certificate), patience, progress)
    target.require()
    if own is not None:
        target.sweep(own)
    return target


def _client(address: Address, patience: Patience, certificate: bytes | None) -> ClientConfig:
    found: ClientConfig = {
        "allow_http": address.plain,
        "connect_timeout": timedelta(seconds=patience.connect),
        "timeout": timedelta(seconds=patience.request),
        "user_agent": "hearthside",
    }
    if certificate is not None:
        found["root_certificate"] = certificate
    return found


def _webdav(
    address: Address, credentials: Credentials | None, client: ClientConfig, patience: Patience,
    progress: Callable[[int], None],
) -> Stored:  # fmt: skip
    if credentials is not None:
        both = f"{credentials.user}:{credentials.secret}".encode()
        client["default_headers"] = {"authorization": "Basic " + base64.b64encode(both).decode("ascii")}
    store = HTTPStore(f"{address.url}{quote(address.path)}", client_options=client, retry_config=_ONE_TRY)
    return Stored(store, address.label, base=address.path.strip("/"), patience=patience, progress=progress)


def _s3(address: Address, credentials: Credentials | None, client: ClientConfig) -> S3Store:
    if credentials is None:
        raise BadAddress(why="an s3: address needs the id and the secret of a key")
    given = credentials

    def provided() -> S3Credential:
        """Given at each signing, so that no key of the surroundings is taken instead."""
        return {"access_key_id": given.user, "secret_access_key": given.secret, "token": None, "expires_at": None}

    bucket, _, folder = address.path.strip("/").partition("/")
    return S3Store(
        bucket, prefix=folder or None, client_options=client, retry_config=_ONE_TRY, credential_provider=provided,
        endpoint=address.url, region=address.region or "us-east-1", virtual_hosted_style_request=False,
    )  # fmt: skip
