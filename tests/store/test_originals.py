"""Original bytes are kept once, compressed, under every name they were seen under, for good."""

from __future__ import annotations

import hashlib

import pytest
from hypothesis import given
from hypothesis import strategies as st
from tests.store.small_study import some_log

from evenhand.errors import BadRecord, NotFound, StoreProblem
from evenhand.store.originals import (
    beginning,
    keep,
    keep_packed,
    names,
    on_record,
    original,
    pack_original,
    size_of,
    unpack_original,
)
from evenhand.store.rows import Saved
from evenhand.store.workbench import Workbench

LOG = some_log("a", lines=5000)
DIGEST = hashlib.sha256(LOG).hexdigest()


@given(st.binary(max_size=2000))
def test_any_bytes_come_back(data: bytes) -> None:
    assert unpack_original(pack_original(data)) == data


def test_bytes_come_back_by_their_hash(wb: Workbench) -> None:
    assert keep(wb, LOG, name="day 1/a.csv", digest=DIGEST) is Saved.NEW
    assert on_record(wb, DIGEST)
    assert original(wb, DIGEST) == LOG


def test_the_empty_file_is_kept_too(wb: Workbench) -> None:
    digest = hashlib.sha256(b"").hexdigest()
    keep(wb, b"", name="empty.csv", digest=digest)
    assert original(wb, digest) == b""


def test_the_same_bytes_are_stored_once_under_all_their_names(wb: Workbench) -> None:
    keep(wb, LOG, name="a.csv", digest=DIGEST)
    assert keep(wb, LOG, name="a.csv", digest=DIGEST) is Saved.SAME
    assert keep(wb, LOG, name="copy of a.csv", digest=DIGEST) is Saved.CHANGED
    assert names(wb, DIGEST) == ("a.csv", "copy of a.csv")
    with wb.reading() as conn:
        assert conn.execute("SELECT count(*) FROM originals").fetchone()[0] == 1


def test_bytes_packed_elsewhere_are_the_same_to_the_store(wb: Workbench) -> None:
    assert keep_packed(wb, pack_original(LOG), name="a.csv", digest=DIGEST) is Saved.NEW
    assert keep(wb, LOG, name="a.csv", digest=DIGEST) is Saved.SAME


def test_a_hash_of_other_bytes_is_refused(wb: Workbench) -> None:
    with pytest.raises(BadRecord, match="not that of the bytes"):
        keep(wb, LOG + b"\n", name="a.csv", digest=DIGEST)
    assert not on_record(wb, DIGEST)


def test_a_name_that_is_not_text_is_spelt_out(wb: Workbench) -> None:
    keep(wb, LOG, name="r\udce9sum.csv", digest=DIGEST)
    assert names(wb, DIGEST) == (r"r\udce9sum.csv",)


def test_an_unknown_hash_is_not_found(wb: Workbench) -> None:
    with pytest.raises(NotFound, match="no original has the hash 00ff"):
        original(wb, "00ff")


@pytest.mark.parametrize("statement", ["DELETE FROM originals", "UPDATE originals SET packed = x'00'"])
def test_the_file_itself_refuses_to_forget_bytes(wb: Workbench, statement: str) -> None:
    keep(wb, LOG, name="a.csv", digest=DIGEST)
    with pytest.raises(StoreProblem, match="originals are only ever added to"), wb.writing() as conn:
        conn.execute(statement)
    assert original(wb, DIGEST) == LOG


@pytest.mark.parametrize(
    "damage",
    [
        lambda packed: b"",
        lambda packed: packed[:-1],
        lambda packed: packed[:30] + b"????????" + packed[38:],
        lambda packed: b"\x01" + b"\xff" * 8 + packed[9:],
    ],
)
def test_damaged_bytes_are_told_in_words(damage) -> None:
    with pytest.raises(StoreProblem, match="an original is damaged"):
        unpack_original(damage(pack_original(LOG)))


@pytest.mark.parametrize("size", [0, 1, 1000, len(LOG) - 1, len(LOG), len(LOG) + 1])
def test_the_beginning_comes_without_the_rest(wb: Workbench, size: int) -> None:
    keep(wb, LOG, name="a.csv", digest=DIGEST)
    assert beginning(wb, DIGEST, size) == LOG[:size]


def test_the_length_as_the_bytes_came(wb: Workbench) -> None:
    keep(wb, LOG, name="a.csv", digest=DIGEST)
    assert (size_of(wb, DIGEST), size_of(wb, "0" * 64)) == (len(LOG), 0)


def test_the_beginning_of_what_is_not_kept_is_not_found(wb: Workbench) -> None:
    with pytest.raises(NotFound):
        beginning(wb, DIGEST, 10)
