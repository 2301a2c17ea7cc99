"""What is no picture, or a harmful one, is refused in one sentence before it costs anything; nothing is added."""

from __future__ import annotations

import os
import random
import resource
import struct
import sys
from io import BytesIO
from pathlib import Path
from zlib import compress

import pytest
from PIL import Image, PngImagePlugin

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
from tests.helpers.pictures import PLACE, as_jpeg, as_png, chunk, drawn, far_too_large, profile, with_a_past

SMALL = drawn(320, 240)


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
    SMALL.save(webp, "WEBP", exif=with_a_past(), icc_profile=profile())
    for came in (
        as_jpeg(SMALL, exif=with_a_past(6), icc_profile=profile()),
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
