"""Every dialect reads back what was written, and both ways through a log agree."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from tests.traces.dialect_writer import HEADER, Dialect, every_dialect, frame_layout, some_rows, write

from evenhand.traces.careful import read_carefully
from evenhand.traces.dialects import SPACES
from evenhand.traces.frames import read_frames
from evenhand.traces.limits import Limits
from evenhand.traces.probe import probe, probe_text
from evenhand.traces.quick import read_quickly
from evenhand.traces.tables import Table, Wanted
from evenhand.traces.unpacking import unpack

LIMITS = Limits()


@pytest.mark.parametrize("dialect", list(every_dialect()), ids=str)
def test_every_dialect_reads_back_exactly(dialect: Dialect) -> None:
    rows = some_rows()
    trace = read_frames(write(dialect, rows), frame_layout(dialect.header), name="log")
    assert trace.frame_times_ms.tolist() == [row[2] for row in rows]
    assert trace.elapsed_s is not None
    assert trace.elapsed_s.tolist() == [row[1] for row in rows]
    assert trace.graphics_ms is not None
    assert trace.graphics_ms.tolist() == [row[3] for row in rows]
    assert [f.kind for f in trace.flaws] == ([] if dialect.last_end else ["no final line end"])


@pytest.mark.parametrize("dialect", list(every_dialect()), ids=str)
def test_the_probe_names_the_dialect(dialect: Dialect) -> None:
    seen = probe(write(dialect, some_rows()), name="log")
    assert seen.header == dialect.header
    assert seen.gz == dialect.gz
    if dialect.json:
        assert seen.form == "json lines"
        return
    assert seen.delimiter == (dialect.delimiter.strip(" ") or SPACES)
    assert seen.decimal == dialect.decimal
    assert seen.header_line == len(dialect.comments) + 1
    assert seen.comment == (dialect.comments[0].split()[0] if dialect.comments else "")
    assert seen.encoding == dialect.encoding
    assert len(seen.preview) == 8


def _both(data: bytes, numbers: tuple[int, ...], texts: tuple[int, ...] = ()) -> tuple[Table | None, Table]:
    text = unpack(data, name="log", limits=LIMITS)
    seen = probe_text(text, name="log", limits=LIMITS)
    wanted = Wanted(numbers=numbers, texts=texts)
    quick = read_quickly(text.body, seen, wanted, limits=LIMITS)
    return quick, read_carefully(text.body, seen, wanted, limits=LIMITS)


def _assert_same(quick: Table, careful: Table) -> None:
    assert quick.n == careful.n
    for position, values in quick.numbers.items():
        np.testing.assert_array_equal(values, careful.numbers[position])
    assert {k: list(v) for k, v in quick.texts.items()} == {k: list(v) for k, v in careful.texts.items()}
    every = np.arange(quick.n)
    assert quick.places.lines(every) == careful.places.lines(every)
    assert quick.notes.flaws() == careful.notes.flaws()


@pytest.mark.parametrize("dialect", [d for d in every_dialect() if not d.json], ids=str)
def test_both_ways_agree_on_every_clean_dialect(dialect: Dialect) -> None:
    quick, careful = _both(write(dialect, some_rows()), (1, 2), (4,))
    assert quick is not None, "the fast way must take a clean log"
    _assert_same(quick, careful)


finite = st.floats(min_value=-1e6, max_value=1e6, allow_nan=False, width=64)
dialects = st.sampled_from([d for d in every_dialect() if not d.json])


@given(dialect=dialects, values=st.lists(st.tuples(finite, finite), min_size=3, max_size=30))
def test_both_ways_agree_on_any_numbers(dialect: Dialect, values: list[tuple[float, float]]) -> None:
    rows: list[list[float | str]] = [[float(k), a, b, 1.5, "x"] for k, (a, b) in enumerate(values)]
    quick, careful = _both(write(dialect, rows), (1, 2), (4,))
    assert quick is not None
    _assert_same(quick, careful)
    assert careful.numbers[1].tolist() == [a for a, _ in values]
    assert careful.numbers[2].tolist() == [b for _, b in values]


damage = st.sampled_from(
    ["", "NaN", "inf", "-1.5", "abc", " 7 ", "1,5", "1.5", "+3", "1e3", "0x10", "1_0", "-", '"8"', "nan(1)"]
)


@given(fields=st.lists(damage, min_size=1, max_size=6), blank=st.booleans(), end=st.booleans())
def test_where_the_fast_way_takes_odd_fields_it_says_what_the_careful_way_says(
    fields: list[str], blank: bool, end: bool
) -> None:
    lines = ["n;t [s];frame [ms]", *(f"{k};{k}.5;16.5" for k in range(12))]
    lines += [f"{k};{k}.5;{field}" for k, field in enumerate(fields, start=12)]
    if blank:
        lines.insert(7, "")
    data = ("\n".join(lines) + "\n" * end).encode()
    quick, careful = _both(data, (1, 2))
    if quick is not None:
        _assert_same(quick, careful)


@given(
    lines=st.lists(st.sampled_from(["1,2,3", "# 1,2,3", "//4,5,6", "7,8,9", "", "n,t,f", "1,2", " !1,2,3"]))
)
def test_lines_that_are_no_rows_never_slip_through_the_fast_way(lines: list[str]) -> None:
    rows = [f"{k},{k},{k}" for k in range(24)]
    data = "\n".join(["n,t,f", *rows[:12], *lines, *rows[12:], *lines[:1]]).encode()
    quick, careful = _both(data, (1, 2))
    if quick is not None:
        _assert_same(quick, careful)


@pytest.mark.parametrize(
    ("unit", "factor"), [("s", 1e-3), ("ms", 1.0), ("us", 1e3), ("µs", 1e3), ("ns", 1e6)], ids=str
)
def test_units_of_the_header_are_turned_into_milliseconds(unit: str, factor: float) -> None:
    header = ("n", f"t [{unit}]", f"frame [{unit}]", f"gpu [{unit}]", "note")
    rows = some_rows()
    scaled: list[list[float | str]] = [
        [r[0], float(r[1]) * 1e3 * factor, float(r[2]) * factor, float(r[3]) * factor, "x"] for r in rows
    ]
    layout = frame_layout(header)
    columns = tuple(type(c)(header=c.header, role=c.role) for c in layout.columns)
    bare = type(layout)(fingerprint="", kind=layout.kind, columns=columns)
    trace = read_frames(write(Dialect(header=header), scaled), bare, name="log")
    np.testing.assert_allclose(trace.frame_times_ms, [float(r[2]) for r in rows], rtol=1e-12)
    assert trace.elapsed_s is not None
    np.testing.assert_allclose(trace.elapsed_s, [float(r[1]) for r in rows], rtol=1e-12)
    assert trace.flaws == ()


def test_a_log_without_header_is_read_by_column_number() -> None:
    data = b"0,0.0,16.5\n1,0.0165,16.5\n2,0.033,16.6\n"
    seen = probe(data, name="log")
    assert seen.header == ("column 1", "column 2", "column 3")
    assert seen.header_line is None
    header = ("", "column 2", "column 3", "column 3")
    assert read_frames(data, frame_layout(header), name="log").frame_times_ms.tolist() == [16.5, 16.5, 16.6]


def test_one_column_of_numbers_needs_no_delimiter() -> None:
    seen = probe(b"frame time [ms]\n16,5\n16,7\n16,6\n", name="log")
    assert (seen.delimiter, seen.decimal, seen.header) == ("", ",", ("frame time [ms]",))


def test_a_header_that_stands_in_a_comment_is_the_header() -> None:
    seen = probe(b"# drawn at night\n# t frame gpu\n0.0 16.5 8.0\n0.1 16.4 8.1\n", name="log")
    assert (seen.header, seen.header_line, seen.first_row_line) == (("t", "frame", "gpu"), 2, 3)


def test_a_second_header_line_of_units_joins_the_first() -> None:
    seen = probe(b"t,frame\ns,[ms]\n0.0,16.5\n0.1,16.4\n", name="log")
    assert (seen.header, seen.header_line) == (("t [s]", "frame [ms]"), 1)


def test_lines_before_the_header_are_passed_over() -> None:
    seen = probe(b"Night render\nrig;three\n\nt;frame\n0,0;16,5\n0,1;16,4\n0,2;16,4\n0,3;16,4\n", name="log")
    assert (seen.header, seen.header_line, seen.first_row_line) == (("t", "frame"), 4, 5)


ROWS = "".join(f"{k},{k * 0.0165:.4f},{16.5 + k % 3}\n" for k in range(20))


@pytest.mark.parametrize(
    "above",
    ["machine,kite\n", "machine,kite\n\nnight,three,posts,calm\n", "a,b,c\n", "a,kite\n" * 20, "# x,y,z\n"],
)  # fmt: skip
def test_lines_with_the_delimiter_before_the_header_are_passed_over(above: str) -> None:
    seen = probe(f"{above}n,t_s,frame_ms\n{ROWS}".encode(), name="log")
    assert (seen.header, seen.delimiter) == (("n", "t_s", "frame_ms"), ",")
    assert seen.header_line == above.count("\n") + 1
    assert seen.header_fits


@pytest.mark.parametrize("between", ["machine,kite\n", "at noon\n", "# at noon\n", "a,b,c,d\n"])
def test_a_remark_between_header_and_rows_is_not_the_header(between: str) -> None:
    seen = probe(f"n,t_s,frame_ms\n{between}{ROWS}".encode(), name="log")
    assert (seen.header, seen.header_line, seen.first_row_line) == (("n", "t_s", "frame_ms"), 1, 3)


def test_the_delimiter_is_that_of_the_line_above_the_rows_not_of_the_first_line() -> None:
    rows = "".join(f"{k / 60:.3f};{16 + k % 3},5\n".replace(".", ",") for k in range(20))
    seen = probe(f"machine,kite,calm\nt_s;frame_ms\n{rows}".encode(), name="log")
    assert (seen.delimiter, seen.decimal, seen.header) == (";", ",", ("t_s", "frame_ms"))


def test_a_header_with_another_delimiter_than_its_rows_is_told_apart() -> None:
    seen = probe(f"n;t_s;frame_ms\n{ROWS}".encode(), name="log")
    assert (seen.delimiter, seen.header_line, seen.header_fits) == (",", 1, False)
    assert seen.header == ("n;t_s;frame_ms", "column 2", "column 3")


def test_columns_of_one_name_are_told_apart() -> None:
    assert probe(b"load,load,\n1,2,3\n", name="log").header == ("load", "load (2)", "column 3")


def test_rows_that_end_in_a_delimiter_are_no_longer_than_the_header() -> None:
    rows = "".join(f"{k},{k * 0.0165},16.5,8,x,\n" for k in range(20))
    trace = read_frames((",".join(HEADER) + "\n" + rows).encode(), frame_layout(), name="log")
    assert trace.frame_times_ms.size == 20
    assert trace.flaws == ()


def test_a_preamble_longer_than_the_first_look_is_read_through() -> None:
    note = "# " + "calm " * 20 + "\n"
    data = (note * 2000).encode() + write(Dialect(), some_rows())
    assert probe(data, name="log").header_line == 2001


def test_a_decimal_comma_that_only_shows_further_down_is_still_read() -> None:
    rows = "".join(f"{k};{k};16\n" for k in range(2000)) + "2000;2000,5;16,5\n"
    header = ("n", "t [s]", "frame [ms]", "frame [ms]")
    trace = read_frames(("n;t [s];frame [ms]\n" + rows).encode(), frame_layout(header), name="log")
    assert trace.elapsed_s is not None
    assert (trace.elapsed_s[-1], trace.frame_times_ms[-1]) == (2000.5, 16.5)
