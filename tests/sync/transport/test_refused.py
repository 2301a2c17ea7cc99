"""What a place refuses is told in one sentence that says what to do, and no credential stands in any message."""

from __future__ import annotations

import socket
import subprocess
import traceback
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import pytest

from forms.trouble import Trouble
from sync.transport.address import Credentials
from sync.transport.opening import open_target
from sync.transport.troubles import Full, NoPlace, NoRight, NotTrusted, Unreachable, WrongPassword
from sync.wire import names
from tests.helpers.certificates import Certificate
from tests.helpers.engines import PASSWORD, QUICK, USER, Place
from tests.sync.transport.conftest import Started

MINE = "a1" * 16
FIRST = names.change(MINE, 1)
SERVERS = ("apache", "rclone", "wsgidav", "seaweedfs")
SECRET = "Tallow-Lane-never-shown"


def everything_said(trouble: Trouble) -> str:
    """All that could reach a screen, a report or a terminal."""
    return "\n".join((trouble.sentence, str(trouble), repr(trouble), *traceback.format_exception(trouble)))


@pytest.mark.parametrize("server", SERVERS)
def test_a_wrong_password_is_told_and_not_repeated(started: Started, server: str) -> None:
    place = started(server).place()
    place.open().put(FIRST, b"before")
    place.credentials = Credentials(USER, SECRET)
    with pytest.raises(WrongPassword) as raised:
        place.open()
    assert "did not accept the name or the password" in raised.value.sentence
    assert SECRET not in everything_said(raised.value)
    assert PASSWORD not in everything_said(raised.value)
    assert place.lies(FIRST) == b"before"


@pytest.mark.parametrize("server", SERVERS)
def test_a_wrong_name_is_told_the_same_way(started: Started, server: str) -> None:
    place = replace(started(server).place(), credentials=Credentials("somebody-else", SECRET))
    with pytest.raises(WrongPassword) as raised:
        place.open()
    assert SECRET not in everything_said(raised.value)


@pytest.mark.parametrize("server", ["apache", "rclone", "wsgidav"])
def test_no_password_where_one_is_needed_is_told(started: Started, server: str) -> None:
    with pytest.raises(WrongPassword):
        replace(started(server).place(), credentials=None).open()


@pytest.fixture
def under_tls(started: Started) -> Place:
    secure = started("apache").secure
    assert secure is not None
    place = started("apache").place()
    return replace(place, url=place.url.replace("webdav:", "webdavs:").replace(port(place.url), port(secure.url("x"))),
                   certificate=secure.certificate)  # fmt: skip


def port(url: str) -> str:
    return url.split("/")[2].rpartition(":")[2]


def test_a_certificate_given_by_hand_is_believed(under_tls: Place) -> None:
    target = under_tls.open()
    target.put(FIRST, b"over TLS")
    assert under_tls.lies(FIRST) == b"over TLS"


@pytest.mark.parametrize("given", [None, Certificate.made("127.0.0.1").public, Certificate.made("10.0.0.1").public])
def test_a_certificate_that_nobody_vouches_for_is_refused_before_the_password_is_sent(
    under_tls: Place, given: bytes | None
) -> None:
    with pytest.raises(NotTrusted) as raised:
        replace(under_tls, certificate=given).open()
    assert "Nothing was sent" in raised.value.sentence
    assert PASSWORD not in everything_said(raised.value)


def test_a_server_that_does_not_answer_is_told() -> None:
    with socket.socket() as held:  # taken, and nobody listens
        held.bind(("127.0.0.1", 0))
        with pytest.raises(Unreachable) as raised:
            open_target(f"webdav://127.0.0.1:{held.getsockname()[1]}/a", Credentials("visitor", SECRET), patience=QUICK)
    assert SECRET not in everything_said(raised.value)


@pytest.mark.parametrize("server", ["apache", "rclone", "wsgidav"])
def test_a_folder_that_is_not_on_the_server_is_no_empty_place_to_write_to(started: Started, server: str) -> None:
    place = started(server).place()
    with pytest.raises(NoPlace):
        replace(place, url=f"{place.url}/not/there").open()
    target = place.open()
    place.open().put(FIRST, b"x")
    assert target.names("") == ((), ("c",))


@pytest.mark.parametrize("server", ["apache", "wsgidav"])
def test_a_folder_that_goes_away_on_the_server_is_told_and_not_made_anew(started: Started, server: str) -> None:
    place = started(server).place()
    target = place.open()
    assert place.root is not None
    place.root.rmdir()
    with pytest.raises(NoPlace):
        target.put(FIRST, b"x")
    assert not place.root.exists()


def test_a_folder_that_is_not_there_is_told_and_not_made(tmp_path: Path) -> None:
    with pytest.raises(NoPlace, match="Plug the stick in"):
        open_target(str(tmp_path / "stick"))
    assert not (tmp_path / "stick").exists()
    (tmp_path / "file").write_bytes(b"")
    with pytest.raises(NoPlace):
        open_target(str(tmp_path / "file"))


def test_a_stick_that_was_pulled_is_told_and_the_folder_below_it_is_left_empty(tmp_path: Path) -> None:
    stick = tmp_path / "stick"
    stick.mkdir()
    target = open_target(str(stick))
    target.put(FIRST, b"x")
    stick.rename(tmp_path / "pulled")
    with pytest.raises(NoPlace):
        target.get(FIRST)
    stick.mkdir()  # the empty folder it was mounted on
    for ask in (lambda: target.get(FIRST), lambda: target.put(FIRST, b"x"), lambda: target.names("")):
        with pytest.raises(NoPlace):
            ask()
    assert list(stick.iterdir()) == []


def mount(*options: str) -> None:
    done = subprocess.run(["mount", *options], capture_output=True, text=True, check=False)
    if done.returncode:
        pytest.skip(f"this machine does not let tests mount: {done.stderr.strip()}")


@pytest.fixture
def small_disk(tmp_path: Path) -> Iterator[Path]:
    at = tmp_path / "small"
    at.mkdir()
    mount("-t", "tmpfs", "-o", "size=256k", "tmpfs", str(at))
    yield at
    subprocess.run(["umount", str(at)], check=True)


def test_a_full_disk_is_told_leaves_nothing_half_and_goes_on_once_there_is_room(small_disk: Path) -> None:
    target = open_target(str(small_disk), patience=QUICK)
    written: list[int] = []

    def fill() -> None:
        for number in range(1, 100):
            target.put(names.change(MINE, number), bytes([number]) * 20_000)
            written.append(number)

    with pytest.raises(Full, match="Make room"):
        fill()
    assert written
    for number in written:
        assert target.get(names.change(MINE, number)) == bytes([number]) * 20_000
    assert not target.get(names.change(MINE, written[-1] + 1))
    target.sweep(MINE)
    assert not list(small_disk.rglob("*#*"))
    (small_disk / names.change(MINE, 1)).unlink()
    target.put(names.change(MINE, written[-1] + 1), b"x" * 20_000)
    assert target.get(names.change(MINE, written[-1] + 1)) == b"x" * 20_000


def test_a_disk_that_may_not_be_written_to_is_told(small_disk: Path) -> None:
    target = open_target(str(small_disk), patience=QUICK)
    target.put(FIRST, b"x")
    mount("-o", "remount,ro", str(small_disk))
    with pytest.raises(NoRight, match="may not write"):
        target.put(names.change(MINE, 2), b"x")
    assert target.get(FIRST) == b"x"
