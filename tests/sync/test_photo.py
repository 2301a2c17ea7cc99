"""What of a picture enters the record: its pixels, upright and whole; and what is refused, each in one sentence."""

from __future__ import annotations

import json
import logging
import struct
import subprocess
import sys
from datetime import datetime
from io import BytesIO
from pathlib import Path

import pytest
from PIL import Image, ImageChops, PngImagePlugin
from PySide6.QtGui import QImage

from forms.trouble import Bug
from sync.photo import (
    cleaned,
)
from tests.helpers.pictures import PLACE, as_jpeg, as_png, drawn, profile, segments, with_a_past

ROOT = Path(__file__).resolve().parents[2]
SMALL = drawn(320, 240)


def opened(data: bytes) -> Image.Image:
    picture = Image.open(BytesIO(data))
    picture.load()
    return picture


def alike(one: Image.Image, other: Image.Image) -> float:
    """The mean difference of two pictures, in 255ths."""
    assert one.size == other.size
    apart = ImageChops.difference(one.convert("RGB"), other.convert("RGB")).convert("L").histogram()
    return sum(level * count for level, count in enumerate(apart)) / (one.width * one.height)


def exiftool(data: bytes) -> dict[str, object]:
    """What an independent reader of metadata finds in a picture."""
    done = subprocess.run(["exiftool", "-json", "-G", "-a", "-u", "-"], input=data, capture_output=True, check=True)
    found: dict[str, object] = json.loads(done.stdout)[0]
    return found


def groups(found: dict[str, object]) -> set[str]:
    return {name.partition(":")[0] for name in found if ":" in name}


def test_a_picture_written_with_more_than_its_pixels_is_never_handed_on(monkeypatch: pytest.MonkeyPatch) -> None:
    laden = as_jpeg(SMALL, exif=with_a_past())
    monkeypatch.setattr("sync.photo._written", lambda *_made: laden)
    with pytest.raises(Bug):
        cleaned(as_jpeg(SMALL))


# --- what came with the picture is gone ------------------------------------------------------------------------------


def test_place_time_device_author_preview_and_notes_of_a_camera_jpeg_are_gone_by_an_independent_reader() -> None:
    xmp = f"<x:xmpmeta xmlns:x='adobe:ns:meta/'>{PLACE}</x:xmpmeta>".encode()
    came = as_jpeg(drawn(), exif=with_a_past(), comment=PLACE.encode(), xmp=xmp, icc_profile=profile())
    assert {"EXIF", "File", "ICC_Profile"} <= groups(exiftool(came))
    assert any("GPSLatitude" in name for name in exiftool(came))
    kept = cleaned(came).data
    assert groups(exiftool(kept)) <= {"ExifTool", "SourceFile", "File", "JFIF", "Composite"}
    assert not any("GPS" in name or "Comment" in name or "DateTime" in name for name in exiftool(kept))
    assert set(segments(kept)) <= {0xE0, 0xDB, 0xC0, 0xC4}
    for trace in (PLACE, "Quillwort", "Lindqvist", "Exif", "http", "ICC_PROFILE"):
        assert trace.encode() not in kept
    assert opened(kept).getexif() == {}
    assert QImage.fromData(kept).textKeys() == []


def test_notes_profile_and_exif_of_a_png_are_gone_and_its_pixels_are_the_same() -> None:
    notes = PngImagePlugin.PngInfo()
    notes.add_text("Comment", PLACE)
    notes.add_itxt("XML:com.adobe.xmp", PLACE, zip=True)
    kept = cleaned(as_png(SMALL, pnginfo=notes, exif=with_a_past(), dpi=(300, 300)))
    assert kept.kind == "image/png"
    assert groups(exiftool(kept.data)) <= {"ExifTool", "File", "PNG", "Composite"}
    assert PLACE.encode() not in kept.data
    assert opened(kept.data).tobytes() == SMALL.tobytes()


def test_what_follows_the_end_of_the_picture_does_not_come_along() -> None:
    kept = cleaned(as_jpeg(SMALL) + b"PK\3\4" + PLACE.encode() + as_jpeg(SMALL))
    assert PLACE.encode() not in kept.data
    assert kept.data.endswith(b"\xff\xd9")
    assert kept.data.count(b"\xff\xd8\xff") == 1


def test_the_cameras_own_time_is_told_beside_the_picture_and_not_in_it() -> None:
    kept = cleaned(as_jpeg(SMALL, exif=with_a_past()))
    assert kept.camera_time == datetime.fromisoformat("2026-03-02 16:28:09")
    assert cleaned(as_jpeg(SMALL)).camera_time is None
    nonsense = Image.Exif()
    nonsense[0x0132] = "0000:00:00 00:00:00"
    assert cleaned(as_jpeg(SMALL, exif=nonsense)).camera_time is None


def test_nothing_of_what_came_with_a_picture_is_logged_at_any_level(caplog: pytest.LogCaptureFixture) -> None:
    with caplog.at_level(logging.DEBUG):
        cleaned(as_jpeg(SMALL, exif=with_a_past()))
        cleaned(as_png(SMALL, exif=with_a_past()))
    assert caplog.records == []


# --- the picture itself stays ----------------------------------------------------------------------------------------


@pytest.mark.parametrize("orientation", range(1, 9))
def test_each_orientation_of_a_camera_is_turned_upright_as_another_library_turns_it(orientation: int) -> None:
    came = as_jpeg(SMALL, exif=with_a_past(orientation), quality=95, subsampling=0)
    kept = cleaned(came)
    from PySide6.QtCore import QBuffer, QByteArray
    from PySide6.QtGui import QImageReader

    buffer = QBuffer()
    buffer.setData(QByteArray(came))
    reader = QImageReader(buffer)
    reader.setAutoTransform(True)
    other = reader.read()
    assert (kept.wide, kept.tall) == (other.width(), other.height())
    assert alike(opened(kept.data), _of_qt(other)) < 1.5


def test_a_jpeg_stays_one_at_full_resolution_with_colour_at_full_resolution() -> None:
    kept = cleaned(as_jpeg(drawn(), quality=95))
    again = opened(kept.data)
    assert (kept.kind, kept.wide, kept.tall) == ("image/jpeg", 1200, 900)
    assert alike(again, drawn()) < 1.5
    frame = kept.data.index(b"\xff\xc0")
    samplings = {kept.data[frame + 11 + 3 * part] for part in range(3)}
    assert samplings == {0x11}


@pytest.mark.parametrize("mode", ["L", "LA", "RGB", "RGBA", "P", "1"])
def test_a_png_of_any_kind_loses_nothing(mode: str) -> None:
    picture = SMALL.convert(mode)
    kept = opened(cleaned(as_png(picture)).data)
    whole = "RGBA" if "A" in mode else "RGB"
    assert kept.convert(whole).tobytes() == picture.convert(whole).tobytes()


def test_colours_of_a_wide_profile_are_brought_into_the_usual_one() -> None:
    swapped = _swapped_profile()
    kept = opened(cleaned(as_png(Image.new("RGB", (8, 8), (200, 40, 40)), icc_profile=swapped)).data)
    red, green, _ = kept.convert("RGB").getpixel((4, 4))  # type: ignore[misc]
    assert green > red
    assert "icc_profile" not in kept.info


def test_a_profile_that_fits_no_picture_leaves_the_colours_as_they_stand() -> None:
    kept = opened(cleaned(as_png(SMALL, icc_profile=b"no profile at all")).data)
    assert kept.tobytes() == SMALL.tobytes()


def test_a_jpeg_in_printers_colours_is_taken_in_screen_colours() -> None:
    kept = cleaned(as_jpeg(SMALL.convert("CMYK"), quality=95))
    assert alike(opened(kept.data), SMALL) < 12  # four inks and back, by one library's plain formula
    assert opened(kept.data).mode == "RGB"


def test_a_webp_is_kept_as_a_png_where_it_is_exact_and_as_a_jpeg_where_it_is_not() -> None:
    exact, rough = BytesIO(), BytesIO()
    SMALL.save(exact, "WEBP", lossless=True, exif=with_a_past())
    SMALL.save(rough, "WEBP", quality=95, exif=with_a_past())
    kept = cleaned(exact.getvalue())
    assert kept.kind == "image/png"
    assert opened(kept.data).convert("RGB").tobytes() == SMALL.tobytes()
    kept = cleaned(rough.getvalue())
    assert kept.kind == "image/jpeg"
    assert alike(opened(kept.data), SMALL) < 4
    assert PLACE.encode() not in kept.data


def test_forty_megapixels_are_taken_and_cost_less_than_a_gigabyte() -> None:
    code = (
        "import sys\n"
        "from sync.photo import cleaned\n"
        "kept = cleaned(sys.stdin.buffer.read())\n"
        # Not the peak of getrusage: it is inherited, so it would be the larger of this program's and its parent's.
        "peak = next(line.split()[1] for line in open('/proc/self/status') if line.startswith('VmHWM'))\n"
        "print(kept.wide, kept.tall, int(peak) // 1024)\n"
    )
    came = as_jpeg(drawn(7300, 5480), exif=with_a_past(6), icc_profile=profile(), progressive=True)
    done = subprocess.run([sys.executable, "-c", code], input=came, capture_output=True, check=True, cwd=ROOT)
    wide, tall, megabytes = map(int, done.stdout.split())
    assert (wide, tall) == (5480, 7300)
    assert megabytes < 1_000


def _swapped_profile() -> bytes:
    """A profile in which red and green stand for each other: the two tags change places in its table."""
    made = bytearray(profile())
    count = struct.unpack(">I", made[128:132])[0]
    places = {bytes(made[132 + 12 * i : 136 + 12 * i]): 132 + 12 * i for i in range(count)}
    for one, other in ((b"rXYZ", b"gXYZ"),):
        made[places[one] : places[one] + 4], made[places[other] : places[other] + 4] = other, one
    return bytes(made)


def _of_qt(picture: QImage) -> Image.Image:
    plain = picture.convertToFormat(QImage.Format.Format_RGB888)
    return Image.frombuffer(
        "RGB", (plain.width(), plain.height()), bytes(plain.constBits()), "raw", "RGB", plain.bytesPerLine(), 1
    )
