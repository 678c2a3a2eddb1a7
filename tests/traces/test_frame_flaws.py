"""What is wrong in a frame log is listed with its lines, and nothing is repaired."""

from __future__ import annotations

import numpy as np
import pytest
from tests.traces.dialect_writer import HEADER, Dialect, frame_layout, some_rows, write

from evenhand.records.layouts import Column, Layout, LogKind, Role
from evenhand.traces import flaws
from evenhand.traces.flaws import MEANINGS, in_lines
from evenhand.traces.frames import read_frames
from evenhand.traces.trace import Flaw, Trace

CLEAN = Dialect(header=HEADER)


def _lines(n: int = 40) -> list[str]:
    return write(CLEAN, some_rows(n)).decode().splitlines()


def _read(lines: list[str], *, clock: bool = True, end: str = "\n") -> Trace:
    data = ("\n".join(lines) + end).encode()
    return read_frames(data, frame_layout(clock=clock), name="crowd.csv")


def _only(trace: Trace) -> Flaw:
    (flaw,) = trace.flaws
    assert flaw.kind in MEANINGS
    return flaw


def _with_field(line: str, column: int, text: str) -> str:
    fields = line.split(",")
    fields[column] = text
    return ",".join(fields)


def test_a_clean_log_has_no_flaws() -> None:
    assert _read(_lines()).flaws == ()


def test_every_kind_has_a_meaning() -> None:
    kinds = {v for k, v in vars(flaws).items() if k.isupper() and isinstance(v, str)}
    assert kinds == set(MEANINGS)


@pytest.mark.parametrize(
    ("text", "kind"),
    [
        ("-3.5", flaws.NEGATIVE_FRAME_TIME),
        ("0", flaws.ZERO_FRAME_TIME),
        ("NaN", flaws.NOT_FINITE),
        ("inf", flaws.NOT_FINITE),
        ("", flaws.EMPTY_FIELD),
        ("n/a", flaws.UNREADABLE_FIELD),
        ("1_000", flaws.UNREADABLE_FIELD),
    ],
)
def test_an_odd_frame_time_is_listed_with_its_line(text: str, kind: str) -> None:
    lines = _lines()
    lines[11] = _with_field(lines[11], 2, text)
    trace = _read(lines, clock=False)
    flaw = _only(trace)
    assert (flaw.kind, flaw.line, flaw.count) == (kind, 12, 1)
    assert trace.frame_times_ms.size == 40
    if kind in (flaws.EMPTY_FIELD, flaws.UNREADABLE_FIELD, flaws.NOT_FINITE):
        assert not np.isfinite(trace.frame_times_ms[10])
        assert "column 'frame [ms]'" in flaw.detail


def test_many_lines_are_capped_in_words_and_counted_in_full() -> None:
    lines = _lines()
    for k in range(5, 25):
        lines[k] = _with_field(lines[k], 2, "?")
    flaw = _only(_read(lines, clock=False))
    assert (flaw.line, flaw.count) == (6, 20)
    assert flaw.detail.startswith("lines 6, 7, 8 and 17 more: column 'frame [ms]', first '?'")


def test_a_clock_that_goes_back_is_listed() -> None:
    lines = _lines()
    lines[20] = _with_field(lines[20], 1, "0.1")
    kinds = {f.kind: f.line for f in _read(lines).flaws}
    assert kinds[flaws.CLOCK_GOES_BACK] == 21


def test_a_clock_that_stands_for_one_row_is_listed() -> None:
    lines = _lines(400)
    lines[20] = _with_field(lines[20], 1, lines[19].split(",")[1])
    kinds = {f.kind: f.line for f in _read(lines).flaws}
    assert kinds[flaws.CLOCK_STANDS] == 21


def test_a_coarse_clock_is_not_a_standing_one() -> None:
    rows = some_rows(400)
    for row in rows:
        row[1] = round(float(row[1]), 1)
    trace = read_frames(write(CLEAN, rows), frame_layout(), name="log")
    assert trace.flaws == ()


def test_missing_rows_leave_a_gap_and_a_span_that_disagrees() -> None:
    lines = _lines(100)
    del lines[50:60]
    found = {f.kind: f for f in _read(lines).flaws}
    assert set(found) == {flaws.GAP, flaws.SPAN_DISAGREES}
    assert found[flaws.GAP].line == 51
    assert "ratio 0.8" in found[flaws.SPAN_DISAGREES].detail


def test_one_missing_row_is_a_gap() -> None:
    lines = _lines(2000)
    del lines[50]
    assert _only(_read(lines)).kind == flaws.GAP


def test_a_clock_stamped_a_little_apart_from_the_frames_has_no_gaps() -> None:
    rng = np.random.default_rng(7)
    rows = some_rows(4000)
    for row in rows:
        row[1] = float(row[1]) + float(rng.normal(0, 0.001))
    kinds = {f.kind for f in read_frames(write(CLEAN, rows), frame_layout(), name="log").flaws}
    assert flaws.GAP not in kinds
    assert flaws.SPAN_DISAGREES not in kinds


@pytest.mark.parametrize("shift", [0, 1], ids=["stamped where frames begin", "stamped where frames end"])
def test_a_clock_may_be_stamped_at_either_end_of_a_frame(shift: int) -> None:
    rows = some_rows(200)
    ends = np.cumsum([float(r[2]) for r in rows]) / 1e3
    begins = np.concatenate([[0.0], ends[:-1]])
    for row, at in zip(rows, ends if shift else begins, strict=True):
        row[1] = float(at)
    assert read_frames(write(CLEAN, rows), frame_layout(), name="log").flaws == ()


def test_a_row_written_twice_is_listed() -> None:
    lines = _lines(2000)
    lines.insert(700, lines[699])
    found = {f.kind: f for f in _read(lines).flaws}
    assert found[flaws.DUPLICATED_ROW].line == 701
    assert flaws.CLOCK_STANDS not in found


def test_a_stretch_pasted_in_a_second_time_is_listed_row_by_row() -> None:
    lines = _lines(200)
    lines[150:150] = lines[100:120]
    found = {f.kind: f for f in _read(lines).flaws}
    assert found[flaws.DUPLICATED_ROW].count == 20
    assert found[flaws.CLOCK_GOES_BACK].line == 151


def test_without_a_clock_a_counter_betrays_a_row_written_twice() -> None:
    lines = _lines(100)
    lines.insert(70, lines[69])
    flaw = _only(_read(lines, clock=False))
    assert (flaw.kind, flaw.line) == (flaws.DUPLICATED_ROW, 71)


def test_equal_frame_times_alone_are_no_copies() -> None:
    data = b"frame [ms]\n" + b"16.7\n" * 30
    layout = frame_layout(("", "", "frame [ms]", "frame [ms]"), clock=False)
    assert read_frames(data, layout, name="log").flaws == ()


def _alone(text: str, header: str = "frame [ms]") -> Trace:
    layout = frame_layout(("", "", "frame [ms]", "frame [ms]"), clock=False)
    return read_frames(f"{header}\n{text}".encode(), layout, name="log")


@pytest.mark.parametrize("decimals", [1, 2, 3, 4])
@pytest.mark.parametrize("first_rows", ["as they come", "rising"])
def test_frames_that_happen_to_be_as_long_as_the_one_before_are_no_copies(
    decimals: int, first_rows: str
) -> None:
    times = np.random.default_rng(decimals).normal(16.7, 0.4, 20_000)
    times[:8] = np.linspace(15, 16, 8) if first_rows == "rising" else times[:8]
    times[5000:5010] = times[4999]
    one = "".join(f"{t:.{decimals}f}\n" for t in times)
    two = "".join(f"{t:.{decimals}f},{1000 / t:.1f}\n" for t in times)
    assert _alone(one).flaws == ()
    assert _alone(two, "frame [ms],fps").flaws == ()


@pytest.mark.parametrize("n", [3, 6, 3600])
def test_a_locked_run_is_no_log_of_copies(n: int) -> None:
    assert _alone("16.667,60.0\n" * n, "frame [ms],fps").flaws == ()
    steps = "".join(f"{16.6 + k / 1000:.3f},{k}\n" * 2 for k in range(n))
    assert _alone(steps, "frame [ms],level").flaws == ()


@pytest.mark.parametrize("clock", ["{k}", "{at:.4f}", "9:59:{at:07.4f}"])
def test_beside_a_counter_or_a_time_of_day_a_row_written_twice_is_found(clock: str) -> None:
    times = np.round(np.random.default_rng(5).normal(16.7, 0.1, 400), 2)
    at_s = np.cumsum(times) / 1000
    rows = [f"{t},{clock.format(k=k, at=at)}\n" for k, (t, at) in enumerate(zip(times, at_s, strict=True))]
    assert _alone("".join(rows), "frame [ms],when").flaws == ()
    rows[200:200] = [rows[199]] * 2
    (flaw,) = _alone("".join(rows), "frame [ms],when").flaws
    assert (flaw.kind, flaw.line, flaw.count) == (flaws.DUPLICATED_ROW, 202, 2)


def test_a_clock_too_coarse_to_tell_rows_apart_is_no_witness() -> None:
    times = np.round(np.random.default_rng(6).normal(2.0, 0.2, 4000), 1)
    at_s = np.floor(np.cumsum(times) / 10) / 100
    rows = "".join(f"{t},{at:.2f}\n" for t, at in zip(times, at_s, strict=True))
    layout = frame_layout(("", "t [s]", "frame [ms]", "frame [ms]"))
    found = read_frames(f"frame [ms],t [s]\n{rows}".encode(), layout, name="log").flaws
    assert flaws.DUPLICATED_ROW not in {f.kind for f in found}


def test_comments_and_headers_among_the_rows_are_skipped_and_listed() -> None:
    lines = _lines()
    lines[20:20] = ["# door opened", lines[0]]
    trace = _read(lines)
    assert [(f.kind, f.line) for f in trace.flaws] == [
        (flaws.COMMENT_INSIDE, 21),
        (flaws.REPEATED_HEADER, 22),
    ]
    assert trace.frame_times_ms.tolist() == [row[2] for row in some_rows()]


def test_blank_lines_do_not_shift_line_numbers() -> None:
    lines = _lines()
    lines[5:5] = ["", ""]
    lines[12] = _with_field(lines[12], 2, "-1")
    assert _only(_read(lines, clock=False)).line == 13


def test_a_last_row_cut_short_is_listed_and_its_last_field_not_trusted() -> None:
    lines = _lines()
    lines[-1] = ",".join(lines[-1].split(",")[:3])[:-2]
    trace = _read(lines, end="")
    flaw = next(f for f in trace.flaws if f.kind == flaws.SHORT_LAST_ROW)
    assert flaw.line == 41
    assert trace.frame_times_ms.size == 40
    assert np.isnan(trace.frame_times_ms[-1])
    assert flaws.NO_FINAL_LINE_END not in {f.kind for f in trace.flaws}


def test_a_last_row_with_nothing_needed_left_is_not_a_frame() -> None:
    lines = _lines()
    lines[-1] = "39,"
    trace = _read(lines, end="")
    assert _only(trace).kind == flaws.SHORT_LAST_ROW
    assert trace.frame_times_ms.size == 39


def test_a_whole_last_row_without_line_end_is_kept_and_listed() -> None:
    trace = _read(_lines(), end="")
    assert (_only(trace).kind, _only(trace).line) == (flaws.NO_FINAL_LINE_END, 41)
    assert trace.frame_times_ms.size == 40


def test_a_short_row_keeps_what_it_has() -> None:
    lines = _lines()
    lines[9] = ",".join(lines[9].split(",")[:3])
    trace = _read(lines)
    assert (_only(trace).kind, _only(trace).line) == (flaws.SHORT_ROW, 10)
    assert np.isfinite(trace.frame_times_ms).all()
    assert trace.graphics_ms is not None
    assert np.flatnonzero(np.isnan(trace.graphics_ms)).tolist() == [8]


def test_a_row_too_long_cannot_be_placed() -> None:
    lines = _lines()
    lines[9] = lines[9].replace(".", ",")
    trace = _read(lines, clock=False)
    assert (_only(trace).kind, _only(trace).line) == (flaws.LONG_ROW, 10)
    assert np.flatnonzero(np.isnan(trace.frame_times_ms)).tolist() == [8]


def test_line_ends_of_two_kinds_are_listed() -> None:
    lines = _lines()
    data = ("\r\n".join(lines[:20]) + "\r\n" + "\n".join(lines[20:]) + "\n").encode()
    flaw = _only(read_frames(data, frame_layout(), name="log"))
    assert (flaw.kind, flaw.detail) == (flaws.MIXED_LINE_ENDS, "lines end in 20 CRLF and 21 LF")


def test_a_clock_alone_gives_one_frame_fewer_and_is_no_second_witness() -> None:
    layout = frame_layout()
    only_clock = type(layout)(
        fingerprint="", kind=layout.kind, columns=tuple(c for c in layout.columns if c.header == "t [s]")
    )
    rows = some_rows(50)
    trace = read_frames(write(CLEAN, rows), only_clock, name="log")
    np.testing.assert_allclose(trace.frame_times_ms, [float(r[2]) for r in rows[:-1]], atol=2e-3)
    assert trace.derived
    assert trace.elapsed_s is None
    rows[20][1] = 0.0
    rows[40][1] = 30.0
    rows[41:] = [[r[0], float(r[1]) + 30.0, *r[2:]] for r in rows[41:]]
    kinds = {f.kind for f in read_frames(write(CLEAN, rows), only_clock, name="log").flaws}
    assert kinds == {flaws.CLOCK_GOES_BACK, flaws.NEGATIVE_FRAME_TIME, flaws.GAP}


def test_a_unit_nobody_gives_is_assumed_and_said_so() -> None:
    layout = frame_layout(("", "", "frame", "frame"), clock=False)
    bare = type(layout)(
        fingerprint="",
        kind=layout.kind,
        columns=tuple(type(c)(header=c.header, role=c.role) for c in layout.columns[:1]),
    )
    trace = read_frames(b"frame\n16.5\n16.7\n", bare, name="log")
    assert _only(trace).kind == flaws.ASSUMED_UNIT


def test_line_numbers_read_as_a_sentence() -> None:
    assert in_lines([3, 1]) == "lines 1 and 3"
    assert in_lines(range(1, 1006)) == "lines 1, 2, 3 and 1,002 more"


def test_a_frame_past_belief_is_no_frame_time_and_told_with_its_line() -> None:
    lines = _lines()
    lines[11] = _with_field(lines[11], 2, "18446744073709.5516")
    trace = _read(lines, clock=False)
    flaw = _only(trace)
    assert (flaw.kind, flaw.line, flaw.count) == (flaws.PAST_BELIEF, 12, 1)
    assert "1.84467e+13 ms at most" in flaw.detail
    assert np.isnan(trace.frame_times_ms[10])
    assert np.nansum(trace.frame_times_ms) < 10_000


def test_hours_all_along_are_another_unit_and_left_as_they_are() -> None:
    lines = _lines()
    for k in range(1, len(lines)):
        lines[k] = _with_field(lines[k], 2, f"{16_700_000 + k}")
    trace = _read(lines, clock=False)
    assert not any(flaw.kind == flaws.PAST_BELIEF for flaw in trace.flaws)
    assert np.isfinite(trace.frame_times_ms).all()


def test_a_lone_clock_that_was_set_leaves_one_frame_past_belief() -> None:
    columns = (Column(header="t [s]", role=Role.ELAPSED, unit="s"),)
    layout = Layout(fingerprint="", kind=LogKind.FRAMES, columns=columns)
    rows = [0.0, *(1_938_480_000 + 0.01 * k for k in range(1, 40))]
    data = ("t [s]\n" + "".join(f"{row:.3f}\n" for row in rows)).encode()
    trace = read_frames(data, layout, name="clock.csv")
    assert np.isnan(trace.frame_times_ms[0])
    assert np.isfinite(trace.frame_times_ms[1:]).all()
    assert [flaw.line for flaw in trace.flaws if flaw.kind == flaws.PAST_BELIEF] == [3]


@pytest.mark.parametrize("written", ["1e-300", "1e-7", "3000000"])
def test_what_no_frame_can_take_is_told_with_its_line(written: str) -> None:
    lines = _lines()
    lines[11] = _with_field(lines[11], 2, written)
    trace = _read(lines, clock=False)
    assert (_only(trace).kind, _only(trace).line) == (flaws.PAST_BELIEF, 12)
    assert np.isnan(trace.frame_times_ms[10])
