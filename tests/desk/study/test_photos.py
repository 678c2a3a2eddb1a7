"""Photos of builds: kept as they came, shown without what a camera noted, taken away and put back."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from datetime import date
from pathlib import Path

import pytest
from tests.desk.same_content import assert_comes_back_the_same
from tests.desk.small_folder import LATER, NOW, Folder, digest, everything, small_folder
from tests.images.drawn import JPEG, NOTES, noted_jpeg, noted_png, png

from evenhand.desk.bench.hiding import NamesHidden, hide_names
from evenhand.desk.bench.plan_needs import Terms
from evenhand.desk.bench.planning import make_plan
from evenhand.desk.logs.exporting import export_study
from evenhand.desk.logs.importing import import_folder
from evenhand.desk.study import photos
from evenhand.desk.study.photos import GivenPhoto, PhotoKept, Told, photo_words
from evenhand.errors import BadRecord, NotFound
from evenhand.records.photos import PhotoWords
from evenhand.store import originals
from evenhand.store.upkeep import check
from evenhand.store.workbench import Workbench, open_workbench

HERE = Told(by="this computer", now=LATER)


def bare_folder(*photos: dict[str, object]) -> Folder:
    """The small study with one run, and these photos of Wren."""
    folder = small_folder()
    folder.document["runs"] = folder.runs[-1:]
    folder.document["builds"][0]["photos"] = list(photos)
    folder.files |= {"photos/side.jpg": noted_jpeg(6), "photos/back.png": noted_png()}
    return folder


@pytest.fixture
def wb(tmp_path: Path) -> Iterator[Workbench]:
    with open_workbench(tmp_path / "bench.evenhand") as opened:
        import_folder(opened, bare_folder().write(tmp_path / "bare"), now=NOW)
        yield opened


def add(wb: Workbench, data: bytes, *, name: str = "side.jpg", alt: str = "") -> PhotoKept:
    return photos.add_photo(wb, "wren", GivenPhoto(data=data, name=name, words=PhotoWords(alt=alt)), HERE)


def test_the_file_stays_as_it_came_and_what_is_shown_tells_no_place(wb: Workbench) -> None:
    kept = add(wb, noted_jpeg()).photo
    assert originals.original(wb, kept.digest) == noted_jpeg()
    shown = photos.shown(wb, kept)
    assert (shown.media, shown.data) == ("image/jpeg", JPEG)
    assert check(wb.path).sound


def test_the_very_same_picture_is_one_whatever_its_camera_noted(wb: Workbench) -> None:
    first = add(wb, noted_jpeg(), alt="The open side")
    again = add(wb, JPEG, name="IMG_1.jpg")
    assert (first.again, again.again) == (False, True)
    assert photos.photos_of(wb, "wren") == (first.photo,)


def test_one_taken_away_is_history_and_comes_back_when_it_is_given_again(wb: Workbench) -> None:
    kept = add(wb, noted_png(), alt="The back").photo
    photos.take_away(wb, kept, HERE)
    assert photos.photos_of(wb, "wren") == ()
    assert photos.shown(wb, kept).data == png()
    photos.put_back(wb, kept, HERE)
    assert photos.photos_of(wb, "wren") == (kept,)
    photos.take_away(wb, kept, HERE)
    assert add(wb, png()).photo == kept


def test_it_can_be_described_later(wb: Workbench) -> None:
    kept = add(wb, JPEG).photo
    words = photo_words(alt=" Cables  tied\nbehind the tray ", caption="Dry", taken_on="2031-05-04")
    assert words == PhotoWords(alt="Cables tied behind the tray", caption="Dry", taken_on=date(2031, 5, 4))
    photos.describe(wb, kept, words, HERE)
    assert photos.photo_of(wb, "wren", kept.id) == replace(kept, words=words)
    before = everything(wb.path)
    photos.describe(wb, kept, words, HERE)
    assert everything(wb.path) == before


@pytest.mark.parametrize(
    ("typed", "field"),
    [({"alt": "x" * 1001}, "alt"), ({"caption": "x" * 501}, "caption"), ({"taken_on": "May"}, "taken_on")],
)
def test_words_that_cannot_be_used_are_refused_by_field(typed: dict[str, str], field: str) -> None:
    with pytest.raises(BadRecord) as refused:
        photo_words(**typed)
    assert refused.value.where == field


@pytest.mark.parametrize("data", [b"", b"frame [ms]\n16.7\n", JPEG[:200], png(30_000, 30_000)])
def test_nothing_is_kept_of_what_is_no_picture(wb: Workbench, data: bytes) -> None:
    before = everything(wb.path)
    with pytest.raises(BadRecord):
        add(wb, data, name="side.png")
    assert everything(wb.path) == before


def test_a_build_has_as_many_as_a_page_shows(wb: Workbench, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(photos, "MOST_PHOTOS", 1)
    add(wb, JPEG)
    with pytest.raises(BadRecord, match="1 photos already"):
        add(wb, png())
    assert add(wb, JPEG).again


def test_nobody_elses_photo_is_found(wb: Workbench) -> None:
    kept = add(wb, JPEG).photo
    with pytest.raises(NotFound):
        photos.photo_of(wb, "plover", kept.id)
    with pytest.raises(NotFound):
        photos.photos_of(wb, "nowhere")


def test_photos_are_closed_while_names_are_hidden(wb: Workbench) -> None:
    kept = add(wb, JPEG).photo
    plan = make_plan(wb, "quay", Terms(looks=(20,)), seed=7, now=NOW)
    hide_names(wb, plan.id, by="this computer", now=NOW)
    for look in (lambda: photos.photos_of(wb, "wren"), lambda: photos.photo_of(wb, "wren", kept.id)):
        with pytest.raises(NamesHidden):
            look()


def test_a_folder_brings_its_photos_once_and_its_words_stand(wb: Workbench, tmp_path: Path) -> None:
    folder = bare_folder({"file": "photos/side.jpg", "alt": "Side"})
    import_folder(wb, folder.write(tmp_path / "with"), now=LATER)
    (kept,) = photos.photos_of(wb, "wren")
    assert (kept.words.alt, kept.name, kept.by) == ("Side", "photos/side.jpg", "folder")
    folder.document["builds"][0]["photos"][0]["alt"] = "The open side"
    import_folder(wb, folder.write(tmp_path / "again"), now=LATER)
    assert [photo.words.alt for photo in photos.photos_of(wb, "wren")] == ["The open side"]
    photos.take_away(wb, kept, HERE)
    import_folder(wb, tmp_path / "again", now=LATER)
    assert photos.photos_of(wb, "wren") == ()


def test_a_photo_of_a_folder_that_cannot_be_used_is_told_and_the_rest_comes_in(
    wb: Workbench, tmp_path: Path
) -> None:
    folder = bare_folder({"file": "photos/log.png"}, {"file": "photos/back.png"})
    folder.files["photos/log.png"] = b"frame [ms]\n16.7\n"
    report = import_folder(wb, folder.write(tmp_path / "with"), now=LATER)
    assert [(each.file, each.why.partition(";")[0]) for each in report.refused] == [
        ("photos/log.png", "this is no picture that browsers show")
    ]
    assert [photo.name for photo in photos.photos_of(wb, "wren")] == ["photos/back.png"]


def test_what_is_exported_tells_no_place_and_comes_back_as_the_same_photo(
    wb: Workbench, tmp_path: Path
) -> None:
    add(wb, noted_jpeg(6), name="IMG_20310504_0930.jpg", alt="The open side")
    export_study(wb, "quay", tmp_path / "out")
    data = (tmp_path / "out" / "photos" / "wren-1.jpg").read_bytes()
    assert not any(note in data for note in NOTES)
    before = everything(wb.path)
    import_folder(wb, tmp_path / "out", now=LATER)
    assert everything(wb.path)["build_photos"] == before["build_photos"]
    assert everything(wb.path)["build_photo_words"] == before["build_photo_words"]
    assert digest(noted_jpeg(6)) == photos.photos_of(wb, "wren")[0].digest


def test_a_study_with_photos_comes_back_the_same(tmp_path: Path) -> None:
    told = {"file": "photos/side.jpg", "alt": "The open side", "caption": "Dry", "taken_on": NOW.date()}
    folder = small_folder()
    folder.files |= bare_folder().files
    folder.document["builds"][0]["photos"] = [told, {"file": "photos/back.png"}]
    with open_workbench(tmp_path / "bench.evenhand") as wb:
        import_folder(wb, folder.write(tmp_path / "study"), now=NOW)
        assert len(photos.photos_of(wb, "wren")) == 2
        assert_comes_back_the_same(wb, "quay", tmp_path)
