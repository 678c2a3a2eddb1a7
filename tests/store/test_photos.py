"""Photos come back as they were; what is said of one last stands, and taking one away is history."""

from __future__ import annotations

import hashlib
import sqlite3
from contextlib import closing
from dataclasses import replace
from datetime import date

import pytest
from tests.store.small_study import BUILD, NOW, unguarded

from evenhand.errors import BadRecord, NotFound
from evenhand.records.photos import BuildPhoto, PhotoWords
from evenhand.store import originals, photos
from evenhand.store.upkeep import check
from evenhand.store.workbench import Workbench

BYTES = b"\xff\xd8\xff drawn for a test"
PHOTO = BuildPhoto(
    build=BUILD.key, digest=hashlib.sha256(BYTES).hexdigest(), name="side.jpg", media="image/jpeg",
    by="this computer", at=NOW,
    words=PhotoWords(alt="The open side", caption="Before the first run", taken_on=date(2031, 5, 4)),
)  # fmt: skip


@pytest.fixture
def kept(wb: Workbench) -> BuildPhoto:
    originals.keep(wb, BYTES, name=PHOTO.name, digest=PHOTO.digest)
    return photos.add_photo(wb, PHOTO)


def test_a_photo_comes_back_as_it_was(wb: Workbench, kept: BuildPhoto) -> None:
    assert replace(photos.photo(wb, kept.id), id=0) == PHOTO
    assert photos.photos_of(wb, [BUILD.key]) == (kept,)
    assert photos.photos_of(wb, ["another"]) == ()


def test_what_is_said_last_stands(wb: Workbench, kept: BuildPhoto) -> None:
    described = replace(kept, words=PhotoWords(alt="The open side, fans at the front"))
    photos.say_of(wb, described, by="a phone", at=NOW)
    assert photos.photo(wb, kept.id) == described


def test_a_photo_taken_away_stays_on_record_and_can_be_put_back(wb: Workbench, kept: BuildPhoto) -> None:
    photos.say_of(wb, replace(kept, away=True), by="this computer", at=NOW)
    assert photos.photos_of(wb, [BUILD.key]) == ()
    assert photos.photos_of(wb, [BUILD.key], ever=True) == (replace(kept, away=True),)
    photos.say_of(wb, kept, by="this computer", at=NOW)
    assert photos.photos_of(wb, [BUILD.key]) == (kept,)


@pytest.mark.parametrize("wrong", [{"build": "nowhere"}, {"digest": "0" * 64}])
def test_a_photo_of_nothing_on_record_is_refused(
    wb: Workbench, kept: BuildPhoto, wrong: dict[str, str]
) -> None:
    with pytest.raises(BadRecord):
        photos.add_photo(wb, replace(PHOTO, **wrong))  # type: ignore[arg-type]


def test_a_number_of_no_photo_is_not_found(wb: Workbench) -> None:
    with pytest.raises(NotFound):
        photos.photo(wb, 7)


@pytest.mark.parametrize(
    ("statement", "words"),
    [
        ("UPDATE build_photos SET name = 'other.jpg'", "build_photos '1' is not what Evenhand wrote"),
        ("UPDATE build_photo_words SET alt = 'another machine'", "build_photo_words '1' is not what"),
        ("DELETE FROM build_photo_words", "build_photo_words '1' is gone"),
    ],
)
def test_the_check_sees_a_change_behind_our_back(
    wb: Workbench, kept: BuildPhoto, statement: str, words: str
) -> None:
    assert check(wb.path).sound
    with closing(sqlite3.connect(wb.path, isolation_level=None)) as conn, unguarded(conn):
        conn.execute(statement)
    assert any(problem.startswith(words) for problem in check(wb.path).problems)
