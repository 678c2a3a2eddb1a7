"""Lines are bounded before anything splits them, and read one by one in little memory."""

from __future__ import annotations

import tracemalloc

import pytest
from hypothesis import given
from hypothesis import strategies as st
from tests.traces.dialect_writer import Dialect, frame_layout, some_rows, write

from evenhand.errors import BadLog
from evenhand.traces.frames import read_frames
from evenhand.traces.limits import MIB, Limits
from evenhand.traces.line_bounds import check_lines, last_solid_line, lines_one_by_one

CLEAN = write(Dialect(), some_rows())
ROWS = 40_000


@given(st.lists(st.sampled_from([b"a", b"", b"7,8", b" "])), st.sampled_from([b"\n", b"\r\n", b"\r"]))
def test_lines_one_by_one_are_all_lines(lines: list[bytes], end: bytes) -> None:
    body = b"".join(line + end for line in lines) + b"last"
    assert list(lines_one_by_one(body)) == [*lines, b"last"]
    assert last_solid_line(body + end + b" " + end) == len(lines) + 1


@given(st.lists(st.integers(0, 40), max_size=12), st.sampled_from([b"\n", b"\r\n", b"\r"]))
def test_the_longest_line_decides_and_is_named(lengths: list[int], end: bytes) -> None:
    body = end.join(b"x" * length for length in lengths)
    too_long = [k for k, length in enumerate(lengths, start=1) if length > 20]
    if too_long:
        with pytest.raises(BadLog, match="longer than 20 bytes") as told:
            check_lines(body, name="a.csv", limits=Limits(max_line_bytes=20))
        assert told.value.where == f"a.csv, line {too_long[0]}"
    else:
        check_lines(body, name="a.csv", limits=Limits(max_line_bytes=20))


@pytest.mark.parametrize("ending", [b"\n", b""])
def test_an_endless_last_line_is_refused_in_little_memory(ending: bytes) -> None:
    data = CLEAN + b"8" * (64 * MIB) + ending
    tracemalloc.start()
    with pytest.raises(BadLog, match="longer than 1,048,576 bytes") as told:
        read_frames(data, frame_layout(), name="a.csv")
    peak = tracemalloc.get_traced_memory()[1]
    tracemalloc.stop()
    assert peak < 24 * MIB
    assert told.value.where == "a.csv, line 42"


def test_more_lines_than_rows_can_need_are_refused_before_they_are_split() -> None:
    with pytest.raises(BadLog, match="lines, past what 10 rows can need, the limit"):
        read_frames(CLEAN, frame_layout(), name="a.csv", limits=Limits(max_rows=10))


@pytest.mark.parametrize("end", [b"\n", b"\r\n", b"\r"])
def test_as_many_lines_as_rows_can_need_are_let_through_and_one_more_is_not(end: bytes) -> None:
    check_lines((b"7" + end) * 21, name="a.csv", limits=Limits(max_rows=10))
    check_lines(end * 21 + b"7", name="a.csv", limits=Limits(max_rows=10))
    with pytest.raises(BadLog, match=": 22 lines, past"):
        check_lines(end * 22, name="a.csv", limits=Limits(max_rows=10))


def test_the_careful_way_holds_no_text_of_rows_that_can_be_read() -> None:
    rows = b"".join(b"%d,%.4f,16.5,8.25,calm\n" % (k, 0.0165 * k) for k in range(ROWS))
    data = b"n,t [s],frame [ms],gpu [ms],note\n" + rows + b"# a remark\n"
    tracemalloc.start()
    trace = read_frames(data, frame_layout(), name="a.csv")
    peak = tracemalloc.get_traced_memory()[1]
    tracemalloc.stop()
    assert [flaw.kind for flaw in trace.flaws] == ["comment inside"]
    assert trace.frame_times_ms.size == ROWS
    assert peak < len(data) + 120 * ROWS + 2 * MIB, "three columns of eight bytes, lines, and what they need"
