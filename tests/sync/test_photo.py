"""What of a picture enters the record: its pixels, upright and whole; and what is refused, each in one sentence."""

from __future__ import annotations

import json
import logging
import os
import random
import resource
import struct
import subprocess
import sys
from datetime import datetime
from io import BytesIO
from pathlib import Path
from zlib import compress

import pytest
from PIL import Image, ImageChops, ImageCms, PngImagePlugin
from PySide6.QtGui import QImage

from forms.trouble import Trouble
from sync.photo import (
    FileTooLarge,
    NoPicture,
    NotReadable,
    OtherKind,
    PictureDamaged,
    PictureMoves,
    PictureTooFine,
    PictureTooLarge,
    ReadingStopped,
    cleaned,
    taken_in,
)
from tests.helpers.pictures import PLACE, as_jpeg, as_png, chunk, drawn, far_too_large, segments, with_a_past

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


# --- what came with the picture is gone ------------------------------------------------------------------------------


def test_place_time_device_author_preview_and_notes_of_a_camera_jpeg_are_gone_by_an_independent_reader() -> None:
    xmp = f"<x:xmpmeta xmlns:x='adobe:ns:meta/'>{PLACE}</x:xmpmeta>".encode()
    came = as_jpeg(drawn(), exif=with_a_past(), comment=PLACE.encode(), xmp=xmp, icc_profile=_profile())
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
        "import resource, sys\n"
        "from sync.photo import cleaned\n"
        "kept = cleaned(sys.stdin.buffer.read())\n"
        "print(kept.wide, kept.tall, resource.getrusage(resource.RUSAGE_SELF).ru_maxrss // 1024)\n"
    )
    came = as_jpeg(drawn(7300, 5480), exif=with_a_past(6), icc_profile=_profile(), progressive=True)
    done = subprocess.run([sys.executable, "-c", code], input=came, capture_output=True, check=True, cwd=ROOT)
    wide, tall, megabytes = map(int, done.stdout.split())
    assert (wide, tall) == (5480, 7300)
    assert megabytes < 1_000


# --- what is refused -------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    "came",
    [
        b"",
        b"\xff",
        b"MZ\x90\0" + b"\0" * 400,
        b"\x7fELF\2\1\1" + b"\0" * 400,
        b"%PDF-1.7\n",
        b"GIF",
        b"RIFF\0\0\0\0WAVE",
    ],
)
def test_whatever_is_no_picture_is_refused_by_what_it_holds(came: bytes, tmp_path: Path) -> None:
    named = tmp_path / "left-side.jpg"
    named.write_bytes(came)
    with pytest.raises(NoPicture) as refused:
        taken_in(named)
    assert "not a picture" in refused.value.sentence


def test_this_very_program_renamed_to_a_picture_is_refused(tmp_path: Path) -> None:
    named = tmp_path / "nipple.png"
    named.write_bytes(Path(sys.executable).read_bytes()[:2_000_000])
    with pytest.raises(NoPicture):
        taken_in(named)


@pytest.mark.parametrize("share", [0.1, 0.5, 0.9, 0.999])
@pytest.mark.parametrize("kind", ["jpeg", "png", "webp"])
def test_a_picture_cut_short_is_refused(kind: str, share: float) -> None:
    into = BytesIO()
    drawn().save(into, kind)
    whole = into.getvalue()
    with pytest.raises(PictureDamaged) as refused:
        cleaned(whole[: int(len(whole) * share)])
    assert "damaged or not complete" in refused.value.sentence


def test_a_png_with_one_changed_byte_is_refused() -> None:
    came = bytearray(as_png(drawn()))
    came[len(came) // 2] ^= 0x10
    with pytest.raises(PictureDamaged):
        cleaned(bytes(came))


def test_thirty_thousand_by_thirty_thousand_is_refused_by_its_header_and_costs_nothing() -> None:
    only_a_header = far_too_large(rows=1)
    all_of_it = far_too_large()
    assert len(all_of_it) < 2_000_000
    before = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
    for came in (only_a_header, all_of_it):
        with pytest.raises(PictureTooLarge) as refused:
            cleaned(came)
        assert "30,000 by 30,000" in refused.value.sentence
    assert resource.getrusage(resource.RUSAGE_SELF).ru_maxrss - before < 20_000  # kilobytes


def test_a_jpeg_and_a_webp_that_claim_too_many_pixels_are_refused_by_their_header() -> None:
    jpeg = bytearray(as_jpeg(SMALL))
    frame = jpeg.index(b"\xff\xc0")
    jpeg[frame + 5 : frame + 9] = struct.pack(">HH", 60_000, 60_000)
    webp = BytesIO()
    SMALL.save(webp, "WEBP", exif=with_a_past())  # with notes its size stands in a header of its own
    wide = bytearray(webp.getvalue())
    wide[24:30] = b"\xff\x3f\0\xff\x3f\0"
    for came in (bytes(jpeg), bytes(wide)):
        with pytest.raises(PictureTooLarge):
            cleaned(came)


def test_a_picture_smaller_than_its_header_says_is_refused() -> None:
    came = as_png(SMALL)
    lying = came[:8] + chunk(b"IHDR", struct.pack(">IIBBBBB", 640, 480, 8, 2, 0, 0, 0)) + came[33:]
    with pytest.raises(PictureDamaged):
        cleaned(lying)


def test_a_note_that_unpacks_to_far_more_than_it_is_never_unpacks() -> None:
    came = as_png(SMALL)
    bomb = chunk(b"zTXt", b"Comment\0\0" + compress(bytes(300_000_000), 9))
    before = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
    with pytest.raises(PictureDamaged):
        cleaned(came[:33] + bomb + came[33:])
    assert resource.getrusage(resource.RUSAGE_SELF).ru_maxrss - before < 100_000


def test_a_moving_picture_is_refused() -> None:
    for kind in ("PNG", "WEBP"):
        into = BytesIO()
        SMALL.save(into, kind, save_all=True, append_images=[SMALL.rotate(90)], duration=100)
        with pytest.raises(PictureMoves):
            cleaned(into.getvalue())


def test_sixteen_bits_a_colour_are_refused_rather_than_rounded() -> None:
    with pytest.raises(PictureTooFine) as refused:
        cleaned(as_png(Image.new("I;16", (40, 30), 30_001)))
    assert "16 bits" in refused.value.sentence


@pytest.mark.parametrize(("beginning", "named"), [
    (b"\0\0\0\x18ftypheic\0\0\0\0mif1heic", "HEIC"), (b"GIF89a" + bytes(20), "GIF"), (b"II*\0" + bytes(20), "TIFF"),
])  # fmt: skip
def test_pictures_of_another_kind_are_refused_by_name_with_what_to_do(beginning: bytes, named: str) -> None:
    with pytest.raises(OtherKind) as refused:
        cleaned(beginning)
    assert refused.value.sentence.startswith(named)
    assert "Save it as JPEG or PNG" in refused.value.sentence


def test_a_file_over_sixty_megabytes_is_refused_before_it_is_read(tmp_path: Path) -> None:
    large = tmp_path / "large.jpg"
    with large.open("wb") as file:
        file.truncate(60_000_001)
    with pytest.raises(FileTooLarge):
        taken_in(large)


def test_a_file_that_is_not_there_a_folder_and_a_pipe_are_each_refused(tmp_path: Path) -> None:
    with pytest.raises(NotReadable):
        taken_in(tmp_path / "gone.jpg")
    with pytest.raises(Trouble):
        taken_in(tmp_path)
    os.mkfifo(tmp_path / "pipe.jpg")
    with pytest.raises(NoPicture):
        taken_in(tmp_path / "pipe.jpg")


def test_a_refused_file_is_left_as_it_was(tmp_path: Path) -> None:
    file = tmp_path / "cut.jpg"
    file.write_bytes(as_jpeg(SMALL)[:900])
    before = (file.read_bytes(), file.stat().st_mtime_ns)
    with pytest.raises(PictureDamaged):
        taken_in(file)
    assert (file.read_bytes(), file.stat().st_mtime_ns) == before
    assert list(tmp_path.iterdir()) == [file]


def test_it_can_be_stopped_at_every_step_and_in_the_middle_of_decoding() -> None:
    came = as_jpeg(Image.effect_noise((1200, 900), 60))
    asked = 0

    def count(step: str = "") -> None:
        nonlocal asked
        asked += 1

    cleaned(came, count)
    assert asked > 10
    for at in range(asked):
        left = at

        def stop(step: str = "") -> None:
            nonlocal left
            if left == 0:
                raise ReadingStopped
            left -= 1

        with pytest.raises(ReadingStopped):
            cleaned(came, stop)


def test_bytes_changed_at_random_are_taken_or_refused_in_a_sentence_and_never_break_anything() -> None:
    chance = random.Random(12)
    notes = PngImagePlugin.PngInfo()
    notes.add_text("Comment", PLACE, zip=True)
    webp = BytesIO()
    SMALL.save(webp, "WEBP", exif=with_a_past(), icc_profile=_profile())
    for came in (
        as_jpeg(SMALL, exif=with_a_past(6), icc_profile=_profile()),
        as_png(SMALL.resize((40, 30)), exif=with_a_past(), pnginfo=notes),
        webp.getvalue(),
    ):
        for _ in range(300):
            changed = bytearray(came)
            for _ in range(chance.randint(1, 6)):
                near = min(chance.choice((40, 2_000, len(changed))), len(changed))
                changed[chance.randrange(near)] = chance.randrange(256)
            try:
                kept = cleaned(bytes(changed))
            except Trouble:
                continue
            assert PLACE.encode() not in kept.data


def _profile() -> bytes:
    made: bytes = ImageCms.ImageCmsProfile(ImageCms.createProfile("sRGB")).tobytes()
    return made


def _swapped_profile() -> bytes:
    """A profile in which red and green stand for each other: the two tags change places in its table."""
    made = bytearray(_profile())
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
