"""Bytes and time of change files against the bare parts they are made of: compression, signature, cipher, JSON."""

from __future__ import annotations

import secrets
from collections.abc import Callable
from dataclasses import dataclass
from functools import partial
from pathlib import Path

import orjson
import zstandard
from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PrivateKey, Ed25519PublicKey
from cryptography.hazmat.primitives.ciphers.aead import AESGCM

from demo_db.build import chart_all, new_store
from storage.log import Operation
from sync.merge.replica import Replica
from sync.wire.change_file import ChangeFile, opened, sealed
from sync.wire.packed import pack
from tests.bench.pairs import Ratio, in_turn

__all__ = ["Wire", "bytes_of_each", "wire", "written_by_the_demo"]

SIZES = (200, 20)
_KEY, _NONCE = bytes(range(32)), bytes(12)


def written_by_the_demo(folder: Path) -> list[Operation]:
    """Every operation of the invented practice, one device's chain in order."""
    store, clock, ids = new_store(folder / "store")
    chart_all(store, clock, ids)
    with store._db.transaction() as c:
        rows = c.exec_driver_sql("SELECT bytes FROM operation ORDER BY position").fetchall()
    store.close()
    return [Operation.read(row[0]) for row in rows]


def _sealed(signer: Ed25519PrivateKey, operations: list[Operation], number: int) -> bytes:
    chain = bytes.fromhex(operations[0].chain)
    body = ChangeFile(tuple(operations), {secrets.token_hex(16): (number, secrets.token_hex(32))})
    return sealed(
        body, repository=bytes(16), chain=chain, number=number, before=secrets.token_bytes(32), epoch=bytes(16),
        key=_KEY, signer=signer,
    )  # fmt: skip


def _filed(operations: list[Operation], size: int) -> list[list[Operation]]:
    """Whole files of one size; the rest that fills none is left out."""
    return [operations[at : at + size] for at in range(0, len(operations) - size + 1, size)]


def bytes_of_each(operations: list[Operation], size: int) -> tuple[float, float]:
    """Bytes of one operation as it travels in files of this size, and in bare zstd of the same plain value."""
    signer = Ed25519PrivateKey.generate()
    files = _filed(operations, size)
    ours = sum(len(_sealed(signer, file, number)) for number, file in enumerate(files, start=1))
    bare = sum(len(zstandard.ZstdCompressor(level=3).compress(orjson.dumps(pack(file)))) for file in files)
    return ours / (size * len(files)), bare / (size * len(files))


@dataclass(frozen=True, slots=True)
class Wire:
    """Bytes of an operation by size of file, ours and bare; and what joining costs against its parts."""

    operations: int
    sizes: tuple[tuple[int, float, float], ...]
    ratios: tuple[Ratio, ...]

    def line(self) -> str:
        """Printed."""
        told = [
            f"{ours:.1f} bytes an operation at {size} a file, {ours / bare:.2f} x bare zstd ({bare:.1f})"
            for size, ours, bare in self.sizes
        ]
        return "\n".join(
            (f"of {self.operations:,} operations of the demo:", *told, *(one.line() for one in self.ratios))
        )


def wire(folder: Path, rounds: int = 7) -> Wire:
    """Files of the demo, made and opened; every part alone does the same number of files or operations."""
    operations = written_by_the_demo(folder)
    signer = Ed25519PrivateKey.generate()
    files = _filed(operations, SIZES[0])
    raws = [_sealed(signer, file, number) for number, file in enumerate(files, start=1)]

    def join() -> None:
        replica = Replica()
        for raw in raws:
            replica.take(opened(raw, key=_KEY, signer=signer.public_key())[1].operations)

    name = f"joining {len(raws)} files of {SIZES[0]} operations in memory"
    parts = _parts(signer, raws, [one.raw for file in files for one in file])
    return Wire(
        len(operations),
        tuple((size, *bytes_of_each(operations, size)) for size in SIZES),
        tuple(in_turn(name, join, part, work, rounds) for part, work in parts),
    )


def _parts(signer: Ed25519PrivateKey, raws: list[bytes], plain: list[bytes]) -> list[tuple[str, Callable[[], object]]]:
    """Bare work on the same bytes: verifying each file, opening its cipher, reading each operation's JSON."""
    signed = [(signer.sign(raw), raw) for raw in raws]
    cipher = AESGCM(_KEY)
    shut = [cipher.encrypt(_NONCE, raw, None) for raw in raws]

    def verify(public: Ed25519PublicKey) -> None:
        for signature, raw in signed:
            public.verify(signature, raw)

    def decrypt() -> None:
        for one in shut:
            cipher.decrypt(_NONCE, one, None)

    def load() -> None:
        for one in plain:
            orjson.loads(one)

    return [
        ("verifying as many Ed25519 signatures", partial(verify, signer.public_key())),
        ("opening as many bytes of AES-256-GCM", decrypt),
        ("reading as many operations with orjson", load),
    ]
