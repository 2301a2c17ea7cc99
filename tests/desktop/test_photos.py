"""Photos on their sheet: none without a consent, kept with the record, looked at behind a tap, marked on a layer."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
from PySide6.QtCore import QEvent, QPointF, Qt
from PySide6.QtGui import QKeyEvent, QMouseEvent, QPixmapCache
from PySide6.QtTest import QTest

from desktop.controls.buttons import Act, Link
from desktop.controls.photo_view import Thumb, ThumbState
from desktop.pages.visit import VisitPage
from desktop.photo_adding import STILL_THERE, PhotoAdding
from desktop.photo_shelf import PhotoShelf
from desktop.sheets import photos as photos_sheet
from desktop.sheets.in_view import InView
from desktop.sheets.photo_seen import Seen
from desktop.sheets.photos import Photos
from forms.answers import Moment
from forms.body_mark import BodyMark
from forms.consent import Consent
from forms.photo import Photo
from storage.store import Store
from storage.troubles import DamagedDatabase, DiskFull
from tests.helpers.photos import agreed, photo_added, photos_of
from tests.helpers.pictures import as_jpeg, drawn, with_a_past
from tests.helpers.twins import TwinVisit
from tests.helpers.visits import said, settled

PICTURE = as_jpeg(drawn(), exif=with_a_past())


def links(root: Any, words: str) -> list[Link]:
    return [link for link in root.findChildren(Link) if link.isVisible() and link.text() == words]


def offered(found: Photos) -> list[str]:
    return [act.accessibleName() for act in found.findChildren(Act) if act.accessibleName().startswith("Add a photo")]


def seen_in(found: Photos) -> Seen:
    return found.findChildren(Seen)[0]


@pytest.fixture
def mara(page: VisitPage, twins: TwinVisit) -> Photos:
    """Mara's photos, with a consent for two parts."""
    agreed(page, twins, twins.mara, "nipple", "breast")
    return photos_of(page, twins.mara)


@pytest.fixture
def one(page: VisitPage, twins: TwinVisit, mara: Photos) -> str:
    """A photo of Mara, added and open."""
    return photo_added(page, twins, twins.mara, "nipple", PICTURE)


# --- by a consent only -----------------------------------------------------------------------------------------------


def test_without_a_consent_no_photo_can_be_added_and_the_way_to_the_consents_is_there(
    page: VisitPage, twins: TwinVisit
) -> None:
    found = photos_of(page, twins.mara)
    assert "Nobody has asked yet whether Mara may be photographed for the record." in said(found)
    assert offered(found) == []
    jumps: list[Any] = []
    InView.of(page.home).jumped.connect(jumps.append)
    next(act for act in found.findChildren(Act) if act.text() == "Go to the consents").click()
    assert [(jump.moment, jump.who, jump.section) for jump in jumps] == [("arrive", twins.mara, "arrive.consents")]


def test_only_the_parts_agreed_to_are_offered_and_a_no_takes_them_away(
    page: VisitPage, twins: TwinVisit, mara: Photos
) -> None:
    assert offered(mara) == ["Add a photo: breast or chest", "Add a photo: nipple"]
    agreed(page, twins, twins.mara, "nipple", agreed="no")
    assert offered(mara) == []
    assert "Photos of Mara were declined." in said(mara)


def test_the_limits_of_a_consent_stand_where_a_photo_is_added(page: VisitPage, twins: TwinVisit) -> None:
    agreed(page, twins, twins.ida, "mouth", agreed="limited", limits="Never her face")
    assert "Within these limits: Never her face" in said(photos_of(page, twins.ida))


def test_a_consent_that_ends_while_the_file_is_read_keeps_the_photo_out(
    page: VisitPage, twins: TwinVisit, mara: Photos, tmp_path: Path
) -> None:
    file = tmp_path / "one.jpg"
    file.write_bytes(PICTURE)
    row = page.home.chart.all(Consent, twins.mara)[-1]
    PhotoAdding.of(page.home).add(twins.mara, "nipple", file)
    page.home.binding(Consent, twins.mara, entity=row.id).put("withdrawn_at", twins.at())
    settled(twins)
    assert page.home.chart.all(Photo) == ()
    assert "Nothing was added." in said(mara)


# --- adding ----------------------------------------------------------------------------------------------------------


def test_a_chosen_file_is_kept_open_to_be_described_and_the_file_is_told_to_be_still_there(
    page: VisitPage, twins: TwinVisit, mara: Photos, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    file = tmp_path / "from-the-card.jpg"
    file.write_bytes(PICTURE)
    monkeypatch.setattr(photos_sheet, "pick_picture", lambda *_asked: file)
    next(act for act in mara.findChildren(Act) if act.accessibleName() == "Add a photo: nipple").click()
    settled(twins)
    (entry,) = page.home.chart.all(Photo)
    kept = entry.answers
    assert (kept.region, kept.media, kept.wide, kept.tall) == ("nipple", "jpeg", 1200, 900)
    assert (kept.taken, kept.recognisable, kept.words) == (None, None, None)
    assert kept.consent == page.home.chart.all(Consent, twins.mara)[-1].id
    assert STILL_THERE in said(mara)
    assert mara.looking()
    assert not seen_in(mara).view.image.isNull()
    assert file.read_bytes() == PICTURE


def test_the_cameras_time_is_offered_and_taken_only_by_a_tap(
    page: VisitPage, twins: TwinVisit, mara: Photos, one: str
) -> None:
    assert "The camera’s clock says Mon 2 Mar 2026 16:28. It may be wrong." in said(mara)
    binding = page.home.binding(Photo, twins.mara, entity=one)
    assert binding.value("taken") is None
    links(mara, "Take this time")[0].click()
    taken = binding.value("taken")
    assert isinstance(taken, Moment)
    assert f"{taken.local():%Y-%m-%d %H:%M:%S}" == "2026-03-02 16:28:09"
    assert "The camera’s clock" not in said(mara)


@pytest.mark.parametrize(("came", "sentence"), [
    (b"MZ" + bytes(300), "This file is not a picture"),
    (PICTURE[: len(PICTURE) // 2], "This picture is damaged or not complete"),
    (b"\0\0\0\x18ftypheic" + bytes(40), "HEIC and AVIF pictures cannot be read here"),
])  # fmt: skip
def test_a_refused_file_is_told_in_one_sentence_and_nothing_is_added(
    page: VisitPage, twins: TwinVisit, mara: Photos, came: bytes, sentence: str
) -> None:
    assert photo_added(page, twins, twins.mara, "nipple", came) == ""
    assert sentence in said(mara)
    assert offered(mara) != []


def test_the_same_picture_is_not_added_twice(page: VisitPage, twins: TwinVisit, mara: Photos, one: str) -> None:
    assert photo_added(page, twins, twins.mara, "nipple", PICTURE) == ""
    assert "This picture is kept already." in said(mara)


def test_reading_can_be_stopped(page: VisitPage, twins: TwinVisit, mara: Photos, tmp_path: Path) -> None:
    file = tmp_path / "large.jpg"
    file.write_bytes(as_jpeg(drawn(4000, 3000)))
    adding = PhotoAdding.of(page.home)
    adding.add(twins.mara, "nipple", file)
    assert adding.words == "Reading the file …"
    next(link for link in mara.findChildren(Link) if link.text() == "Stop").click()
    settled(twins)
    assert page.home.chart.all(Photo) == ()
    assert "Stopped. Nothing was added." in said(mara)


def test_a_full_disk_adds_nothing_and_says_so(
    page: VisitPage, twins: TwinVisit, mara: Photos, monkeypatch: pytest.MonkeyPatch
) -> None:
    def full(*_what: object) -> str:
        raise DiskFull

    monkeypatch.setattr(Store, "attach", full)
    assert photo_added(page, twins, twins.mara, "nipple", PICTURE) == ""
    assert "The disk is full, so the photo was not added." in said(mara)


def test_adding_is_one_step_that_undo_takes_back(page: VisitPage, twins: TwinVisit, mara: Photos, one: str) -> None:
    page.home.take_back()
    settled(twins)
    assert page.home.chart.all(Photo) == ()
    assert one not in mara.lines


# --- looking ---------------------------------------------------------------------------------------------------------


def test_photos_stand_behind_a_tap_and_no_picture_is_in_memory_until_it(
    page: VisitPage, twins: TwinVisit, one: str
) -> None:
    page.go("arrive", twins.mara)
    found = photos_of(page, twins.mara)
    settled(twins)
    assert not found.looking()
    assert found.veil is not None
    assert found.veil.opener.text() == "1 photo"
    assert [thumb.state for thumb in found.findChildren(Thumb)] == [ThumbState.READING]
    assert all(seen.view.image.isNull() for seen in found.findChildren(Seen))
    found.veil.opener.click()
    settled(twins)
    assert [thumb.state for thumb in found.findChildren(Thumb)] == [ThumbState.SHOWN]
    found.veil.closer.click()
    assert all(thumb.image.isNull() for thumb in found.findChildren(Thumb))
    assert all(seen.view.image.isNull() for seen in found.findChildren(Seen))


def test_in_shared_view_no_photo_and_no_tab_of_photos_is_on_screen(page: VisitPage, twins: TwinVisit, one: str) -> None:
    page.toggle_shared()
    settled(twins)
    assert [found for found in page.findChildren(Photos) if found.isVisible()] == []
    assert "look.photos" not in [section.key for section in page.sections()]


def test_what_it_shows_in_words_is_read_out_in_place_of_the_picture(
    page: VisitPage, twins: TwinVisit, mara: Photos, one: str
) -> None:
    binding = page.home.binding(Photo, twins.mara, entity=one)
    binding.put("side", "left")
    binding.put("words", "A slanting crack, edges clean.")
    settled(twins)
    spoken = seen_in(mara).view.accessibleName()
    assert spoken == "Photo: Nipple, Mara’s left, time not said. A slanting crack, edges clean."


def test_a_consent_withdrawn_veils_the_photo_keeps_it_and_a_new_consent_shows_it_again(
    page: VisitPage, twins: TwinVisit, mara: Photos, one: str
) -> None:
    row = page.home.chart.all(Consent, twins.mara)[-1]
    page.home.binding(Consent, twins.mara, entity=row.id).put("withdrawn_at", twins.at())
    settled(twins)
    assert seen_in(mara).view.image.isNull()
    assert "Consent to photos of Mara withdrawn 10:42. Kept, not shown, not sent" in seen_in(mara).view.words
    assert [thumb.state for thumb in mara.findChildren(Thumb)] == [ThumbState.VEILED]
    assert page.home.chart.by_id(one) is not None
    picture = page.home.chart.all(Photo)[0].answers.picture
    assert isinstance(picture, str)
    assert twins.store.attachment(picture)
    agreed(page, twins, twins.mara, "nipple", given_at=twins.at())
    settled(twins)
    assert not seen_in(mara).view.image.isNull()
    assert [thumb.state for thumb in mara.findChildren(Thumb)] == [ThumbState.SHOWN]


def test_somebody_else_seen_in_it_veils_it_until_they_agree(
    page: VisitPage, twins: TwinVisit, mara: Photos, one: str
) -> None:
    page.home.binding(Photo, twins.mara, entity=one).put("also_shows", (twins.ida,))
    settled(twins)
    assert "Nobody has asked yet whether Ida may be photographed" in seen_in(mara).view.words


def test_a_damaged_picture_says_so_and_its_words_stay(
    page: VisitPage, twins: TwinVisit, mara: Photos, one: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    def damaged(*_what: object) -> bytes:
        raise DamagedDatabase

    page.home.binding(Photo, twins.mara, entity=one).put("words", "A slanting crack.")
    page.go("arrive", twins.mara)
    PhotoShelf.of(page.home).forget()
    monkeypatch.setattr(Store, "attachment", damaged)
    found = photos_of(page, twins.mara)
    assert found.veil is not None
    found.veil.open(True)
    settled(twins)
    assert [thumb.state for thumb in found.findChildren(Thumb)] == [ThumbState.DAMAGED]
    page.home.changed.emit()
    assert "The record in this folder is damaged." in said(found)
    assert "A slanting crack." in said(found)
    assert page.home.chart.all(Photo)[0].answers.words == "A slanting crack."


def test_no_cache_of_the_library_is_asked_to_hold_a_picture(
    page: VisitPage, twins: TwinVisit, mara: Photos, one: str
) -> None:
    QPixmapCache.clear()
    page.grab()
    assert "QPixmap" not in Path("desktop/controls/photo_view.py").read_text("utf-8").replace("SmoothPixmap", "")
    assert PhotoShelf.of(page.home).held() == 1


def test_a_signed_visits_photos_can_be_looked_at_and_not_added_to(
    page: VisitPage, twins: TwinVisit, mara: Photos, one: str
) -> None:
    twins.store.sign(twins.visit, author=twins.author)
    page.home.reload()
    settled(twins)
    assert offered(mara) == []
    assert "This visit is signed; no photo is added to it." in said(mara)
    assert not seen_in(mara).view.image.isNull()
    assert not seen_in(mara).marks.mark.isVisible()
    assert links(mara, "Strike out") == []


# --- marks -----------------------------------------------------------------------------------------------------------


def marks(page: VisitPage) -> list[tuple[Any, ...]]:
    found = [entry.answers for entry in page.home.chart.all(BodyMark)]
    return [(one.outline, one.photo, one.x, one.y, one.placed) for one in found]


def test_a_mark_is_put_down_by_keys_alone_as_an_entry_of_its_own(
    page: VisitPage, twins: TwinVisit, mara: Photos, one: str
) -> None:
    before = page.home.chart.all(Photo)[0].answers.picture
    seen = seen_in(mara)
    seen.marks.mark.click()
    for key, times in ((Qt.Key.Key_Right, 3), (Qt.Key.Key_Up, 2)):
        for _ in range(times):
            QTest.keyClick(seen.view, key)
    QTest.keyClick(seen.view, Qt.Key.Key_Left, Qt.KeyboardModifier.ControlModifier)
    QTest.keyClick(seen.view, Qt.Key.Key_Return)
    settled(twins)
    assert marks(page) == [("photo", one, 558, 460, "pointed")]
    assert page.home.chart.all(Photo)[0].answers.picture == before
    assert [(pin.number, pin.x, pin.y) for pin in seen.view.pins] == [(1, 558, 460)]


def test_a_mark_is_put_where_the_photo_is_tapped_and_zooming_in_keeps_the_place(
    page: VisitPage, twins: TwinVisit, mara: Photos, one: str
) -> None:
    seen = seen_in(mara)
    seen.marks.mark.click()
    at = seen.view.place(250, 750)
    tap(seen, at)
    assert seen.view.at == pytest.approx((250, 750), abs=2)
    seen.marks.put.click()
    settled(twins)
    links(mara, "Closer")[0].click()
    settled(twins)
    seen.marks.mark.click()
    seen.view.move_to(250, 750)
    tap(seen, seen.view.place(260, 740))
    assert seen.view.at == pytest.approx((260, 740), abs=2)
    seen.marks.put.click()
    settled(twins)
    assert [kept[2:4] for kept in marks(page)] == [pytest.approx((250, 750), abs=2), pytest.approx((260, 740), abs=2)]


def tap(seen: Seen, at: QPointF) -> None:
    for kind in (QEvent.Type.MouseButtonPress, QEvent.Type.MouseButtonRelease):
        button = Qt.MouseButton.LeftButton
        seen.view.event(
            QMouseEvent(kind, at, seen.view.mapToGlobal(at), button, button, Qt.KeyboardModifier.NoModifier)
        )


def test_escape_leaves_pointing_without_a_mark(page: VisitPage, twins: TwinVisit, mara: Photos, one: str) -> None:
    seen = seen_in(mara)
    seen.marks.mark.click()
    seen.view.keyPressEvent(QKeyEvent(QEvent.Type.KeyPress, Qt.Key.Key_Escape.value, Qt.KeyboardModifier.NoModifier))
    assert not seen.view.pointing
    assert seen.marks.mark.isVisible()
    assert marks(page) == []


def test_marks_can_be_taken_off_the_picture_and_stay_in_the_list(
    page: VisitPage, twins: TwinVisit, mara: Photos, one: str
) -> None:
    seen = seen_in(mara)
    seen.marks.mark.click()
    seen.marks.put.click()
    settled(twins)
    page.home.binding(BodyMark, twins.mara, entity=page.home.chart.all(BodyMark)[0].id).put("kind", "crack")
    settled(twins)
    with_marks = seen.view.grab().toImage()
    seen.marks.hide_key.click()
    assert not seen.view.pins_shown
    assert seen.view.grab().toImage() != with_marks
    assert "1. On a photo, crack" in said(mara)


def test_a_mark_is_struck_out_with_a_reason_and_leaves_the_picture(
    page: VisitPage, twins: TwinVisit, mara: Photos, one: str
) -> None:
    seen = seen_in(mara)
    seen.marks.mark.click()
    seen.marks.put.click()
    settled(twins)
    page.home.strike(page.home.chart.all(BodyMark)[0].id, "not a crack but a crease of the skin")
    settled(twins)
    assert seen.view.pins == ()
    assert page.home.chart.all(BodyMark) == ()
