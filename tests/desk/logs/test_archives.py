"""Archives are looked through before anything is unpacked: what could do harm is refused in words."""

from __future__ import annotations

import stat
import zipfile
from pathlib import Path

import pytest

from evenhand.desk.logs.archives import Bounds, is_archive, members_of, unpack
from evenhand.errors import BadRecord


def quiet(done: int, total: int, doing: str) -> None:
    """Nobody watches."""


def packed(place: Path, *files: tuple[str, bytes], mode: int = 0) -> Path:
    """An archive of files; `mode` is what the last one claims to be."""
    with zipfile.ZipFile(place, "w", zipfile.ZIP_DEFLATED) as archive:
        for at, (name, data) in enumerate(files, start=1):
            info = zipfile.ZipInfo(name)
            info.compress_type = zipfile.ZIP_DEFLATED
            info.external_attr = (mode or stat.S_IFREG | 0o644) << 16 if at == len(files) else 0
            archive.writestr(info, data)
    return place


@pytest.fixture
def place(tmp_path: Path) -> Path:
    return tmp_path / "day.zip"


def test_what_a_sound_archive_holds_is_unpacked_and_nothing_of_the_system_that_packed_it(place: Path) -> None:
    packed(place, ("__MACOSX/._a.csv", b"x"), ("logs/.DS_Store", b"x"), ("logs/a.csv", b"frame\n1\n"))
    assert is_archive(place.read_bytes()[:4])
    assert unpack(place, place.parent / "out", name="day.zip", watch=quiet) == ("logs/a.csv",)
    assert [p.name for p in (place.parent / "out").rglob("*") if p.is_file()] == ["a.csv"]
    assert (place.parent / "out/logs/a.csv").read_bytes() == b"frame\n1\n"


@pytest.mark.parametrize(
    ("name", "words"),
    [
        ("../outside.csv", "leads out of the folder"),
        ("logs/../../outside.csv", "leads out of the folder"),
        ("/etc/outside.csv", "names a place on the disk"),
        ("C:/outside.csv", "names a place on the disk"),
        ("logs\\..\\..\\outside.csv", "leads out of the folder"),
        ("logs/ .. /outside.csv", "leads out of the folder"),
        ("logs/a\n.csv", "leads out of the folder"),
    ],
)
def test_a_name_that_leads_elsewhere_is_refused_and_nothing_is_written(
    place: Path, name: str, words: str
) -> None:
    packed(place, ("good.csv", b"1"), (name, b"2"))
    out = place.parent / "deep" / "out"
    with pytest.raises(BadRecord, match=words):
        unpack(place, out, name="day.zip", watch=quiet)
    assert not out.exists()
    assert sorted(p.name for p in place.parent.rglob("*")) == ["day.zip"]


def test_a_link_is_refused(place: Path) -> None:
    packed(place, ("link.csv", b"/etc/passwd"), mode=stat.S_IFLNK | 0o777)
    with pytest.raises(BadRecord, match="is a link to another file"):
        members_of(place, name="day.zip")


def test_a_device_is_refused(place: Path) -> None:
    packed(place, ("device", b""), mode=stat.S_IFCHR | 0o666)
    with pytest.raises(BadRecord, match="is no ordinary file"):
        members_of(place, name="day.zip")


@pytest.mark.parametrize(
    ("bounds", "words"),
    [
        (Bounds(members=1), "holds 2 files, past the limit of 1"),
        (Bounds(member_bytes=3), "holds 4 bytes, past the limit of 3 bytes"),
        (Bounds(all_bytes=6), "unpacks to 8 bytes, past the limit of 6 bytes"),
    ],
)
def test_more_than_an_archive_may_hold_is_refused_by_what_it_says_of_itself(
    place: Path, bounds: Bounds, words: str
) -> None:
    packed(place, ("a.csv", b"1234"), ("b.csv", b"5678"))
    with pytest.raises(BadRecord, match=words):
        members_of(place, name="day.zip", bounds=bounds)


def test_what_was_packed_to_fill_a_disk_is_refused(place: Path) -> None:
    packed(place, ("zeros.csv", bytes(17 * 2**20)))
    with pytest.raises(BadRecord, match="unpacks to more than 200 times its size"):
        members_of(place, name="day.zip")


def test_one_name_twice_is_refused_also_where_only_capitals_differ(place: Path) -> None:
    packed(place, ("a.csv", b"1"), ("A.csv", b"2"))
    with pytest.raises(BadRecord, match=r"holds 'a\.csv' twice"):
        members_of(place, name="day.zip")


@pytest.mark.parametrize("cut", [10, -30])
def test_a_damaged_archive_is_told(place: Path, cut: int) -> None:
    packed(place, ("a.csv", b"1" * 1000))
    place.write_bytes(place.read_bytes()[:cut])
    with pytest.raises(BadRecord, match="damaged or was cut off"):
        members_of(place, name="day.zip")


def test_a_member_whose_bytes_are_damaged_is_told(place: Path) -> None:
    with zipfile.ZipFile(place, "w") as archive:
        archive.writestr("a.csv", b"frame\n" + b"8.3\n" * 100)
    data = bytearray(place.read_bytes())
    data[60] ^= 0xFF
    place.write_bytes(data)
    with pytest.raises(BadRecord, match=r"'a\.csv' cannot be unpacked"):
        unpack(place, place.parent / "out", name="day.zip", watch=quiet)


def test_an_archive_of_nothing_is_told(place: Path) -> None:
    packed(place, ("empty/", b""))
    with pytest.raises(BadRecord, match="holds no file"):
        members_of(place, name="day.zip")


def test_stopping_leaves_the_rest_packed(place: Path) -> None:
    packed(place, ("a.csv", b"1"), ("b.csv", b"2"))

    def at_the_second(done: int, total: int, doing: str) -> None:
        if done:
            raise InterruptedError

    with pytest.raises(InterruptedError):
        unpack(place, place.parent / "out", name="day.zip", watch=at_the_second)
    assert [p.name for p in (place.parent / "out").iterdir()] == ["a.csv"]
