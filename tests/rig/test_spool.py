"""What is put on its way survives anything, and goes only once it is home."""

from __future__ import annotations

import shutil
import threading
from pathlib import Path

from evenhand.rig.spool import Spool


def test_parcels_come_in_the_order_they_were_put(tmp_path: Path) -> None:
    spool = Spool(tmp_path)
    for name in ("a.csv", "b.csv"):
        spool.add(name.encode(), name=name, facts={"test": "tram"})
    found = list(Spool(tmp_path).parcels())
    assert [(p.name, p.data.read_bytes(), p.facts) for p in found] == [
        ("a.csv", b"a.csv", {"test": "tram"}),
        ("b.csv", b"b.csv", {"test": "tram"}),
    ]


def test_one_that_is_home_is_gone_and_the_others_stay(tmp_path: Path) -> None:
    spool = Spool(tmp_path)
    first = spool.add(b"1", name="a", facts={})
    spool.add(b"2", name="b", facts={})
    spool.home(first)
    assert [p.name for p in spool.parcels()] == ["b"]


def test_a_parcel_that_was_being_packed_when_the_power_went_is_not_one(tmp_path: Path) -> None:
    spool = Spool(tmp_path)
    whole = spool.add(b"1", name="a", facts={})
    shutil.copytree(whole.folder, tmp_path / ".00000002")
    again = Spool(tmp_path)
    again.sweep()
    assert [p.name for p in again.parcels()] == ["a"]
    assert not (tmp_path / ".00000002").exists()


def test_a_parcel_without_its_bytes_is_left_alone(tmp_path: Path) -> None:
    spool = Spool(tmp_path)
    spool.add(b"1", name="a", facts={}).data.unlink()
    assert list(spool.parcels()) == []
    assert spool.add(b"2", name="b", facts={}).folder.name == "00000002"


def test_one_that_is_not_wanted_is_kept_aside(tmp_path: Path) -> None:
    spool = Spool(tmp_path / "spool")
    spool.add(b"1", name="a", facts={})
    spool.add(b"2", name="b", facts={})
    place = spool.put_aside(next(spool.parcels()))
    assert [p.name for p in spool.parcels()] == ["b"]
    assert (place / "data").read_bytes() == b"1"


def test_packing_goes_on_while_the_sender_empties_the_spool(tmp_path: Path) -> None:
    spool = Spool(tmp_path / "spool")
    ended = threading.Event()

    def empty() -> None:
        while not ended.is_set():
            for parcel in Spool(tmp_path / "spool").parcels():
                spool.home(parcel)

    sender = threading.Thread(target=empty)
    sender.start()
    for number in range(60):
        spool.add(str(number).encode(), name="a", facts={})
    ended.set()
    sender.join()
    assert all(parcel.data.read_bytes() for parcel in spool.parcels())
