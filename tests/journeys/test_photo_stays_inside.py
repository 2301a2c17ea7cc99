"""Photos are added, looked at, marked, locked away and looked at again, and no file outside the store is ever written.

The process runs under a trace of the system, so that a file made and deleted again is seen as well.
"""

from __future__ import annotations

import re
import shutil
import subprocess
import sys
from io import BytesIO
from pathlib import Path
from random import Random

import pytest
from PIL import Image

from demo_db.build import PASSPHRASE
from storage.vault import unlock
from tests.helpers.apart import apart_in
from tests.helpers.pictures import PLACE, as_jpeg, as_png, drawn, with_a_past

CALLS = "open,openat,openat2,creat,mkdir,mkdirat,rename,renameat,renameat2,link,linkat,symlink,memfd_create,mknod"
WRITES = re.compile(r"O_CREAT|O_WRONLY|O_RDWR|O_TMPFILE")
NAMED = re.compile(r'"((?:[^"\\]|\\.)*)"')
RUN = 32


def _noise() -> Image.Image:
    """A picture of which no run of bytes stands anywhere by chance."""
    return Image.frombytes("RGB", (240, 180), Random(5).randbytes(240 * 180 * 3))


def _runs(data: bytes) -> list[bytes]:
    """Stretches from all over some bytes, less those that stand anywhere, such as zeros."""
    step = max(len(data) // 40, RUN)
    found = (data[at : at + RUN] for at in range(step, len(data) - RUN, step))
    return [run for run in found if len(set(run)) > RUN // 3]


def _decoded_runs() -> list[bytes]:
    """Stretches of the noise as pixels lie in memory: three colours, and four bytes as screens and bitmaps hold them."""
    noise = _noise()
    screen = noise.convert("RGBA")
    red, green, blue, clear = screen.split()
    return [
        run
        for raw in (noise.tobytes(), screen.tobytes(), Image.merge("RGBA", (blue, green, red, clear)).tobytes())
        for run in _runs(raw)
    ]


@pytest.fixture(scope="module")
def visited(invented: Path, tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, str, tuple[str, ...]]:
    """The folder in which all of it happened, the trace, and the pictures that were kept."""
    here = tmp_path_factory.mktemp("photos")
    shutil.copytree(invented, here / "store")
    (here / "card").mkdir()
    (here / "card" / "left.jpg").write_bytes(as_jpeg(drawn(), exif=with_a_past(6)))
    (here / "card" / "noise.png").write_bytes(as_png(_noise()))
    trace = here / "trace"
    done = subprocess.run(
        ["strace", "-f", "--seccomp-bpf", "-qq", "-s", "400", "-e", f"trace={CALLS}", "-o", trace,
         sys.executable, "-m", "tests.helpers.photo_visit", here / "store", here / "card"],
        cwd=here / "work",
        env=apart_in(here),
        capture_output=True,
        text=True,
        check=False,
    )  # fmt: skip
    assert done.returncode == 0, done.stderr[-4000:]
    return here, trace.read_text(errors="replace"), tuple(done.stdout.split())


def _written(here: Path, trace: str) -> list[str]:
    """The lines of the trace in which a file or folder outside the store came to be or was opened for writing."""
    found = []
    for line in trace.splitlines():
        call = line.split("(")[0].split()[-1]
        if "<..." in line:  # the end of a call whose beginning, with its name, stands on a line before
            continue
        if " = -1 " in line or ("open" in call and not WRITES.search(line)):
            continue
        names = NAMED.findall(line)
        path = Path(names[-1]) if names else Path("unnamed")
        inside = (here / "work" / path).is_relative_to(here / "store")
        if not inside and path != here / "card" / "log" and not str(path).startswith("/dev/"):
            found.append(line)
    return found


def test_no_file_outside_the_store_is_made_or_written_not_even_for_a_moment(
    visited: tuple[Path, str, tuple[str, ...]],
) -> None:
    here, trace, _ = visited
    assert f'"{here}/store/record.db-wal"' in trace
    assert _written(here, trace) == []


def test_no_file_on_disk_but_the_two_on_the_card_holds_a_part_of_a_picture(
    visited: tuple[Path, str, tuple[str, ...]], tmp_path: Path
) -> None:
    here, _, kept = visited
    assert len(kept) == 2
    store = unlock(shutil.copytree(here / "store", tmp_path / "copy"), PASSPHRASE)
    clean = [store.attachment(name) for name in kept]
    store.close()
    came = [(here / "card" / name).read_bytes() for name in ("left.jpg", "noise.png")]
    runs = [run for data in (*clean, *came) for run in _runs(data)] + _decoded_runs()
    assert len(runs) > 100
    looked = 0
    for file in here.rglob("*"):
        if file.is_file() and file.name not in ("left.jpg", "noise.png", "trace"):
            looked += 1
            data = file.read_bytes()
            assert not any(run in data for run in runs), file
            assert PLACE.encode() not in data, file
    assert looked > 5


def test_what_is_kept_is_the_picture_and_none_of_what_came_with_it(
    visited: tuple[Path, str, tuple[str, ...]], tmp_path: Path
) -> None:
    here, _, kept = visited
    store = unlock(shutil.copytree(here / "store", tmp_path / "copy"), PASSPHRASE)
    jpeg, png = (store.attachment(name) for name in kept)
    assert store.check() == ()
    store.close()
    assert Image.open(BytesIO(jpeg)).size == (900, 1200)
    assert PLACE.encode() not in jpeg
    assert Image.open(BytesIO(png)).tobytes() == _noise().tobytes()


def test_a_planted_leak_would_be_found(tmp_path: Path) -> None:
    _noise().save(tmp_path / "leak.bmp")
    (tmp_path / "copied").write_bytes(as_png(_noise()))
    decoded, copied = (tmp_path / "leak.bmp").read_bytes(), (tmp_path / "copied").read_bytes()
    assert any(run in copied for run in _runs(as_png(_noise())))
    flipped = Image.open(BytesIO(decoded)).convert("RGB").tobytes()
    assert any(run in flipped for run in _decoded_runs())
    line = f'7 openat(AT_FDCWD, "{tmp_path}/tmp/qt_temp.x1", O_RDWR|O_CREAT|O_EXCL, 0600) = 9'
    assert _written(tmp_path, line) == [line]
