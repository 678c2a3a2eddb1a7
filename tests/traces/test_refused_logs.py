"""What cannot be used is refused with file, line and column, and with what to do next."""

from __future__ import annotations

import gzip
import random
import tracemalloc
import zlib
from collections.abc import Callable

import pytest
from hypothesis import example, given
from hypothesis import strategies as st
from tests.traces.dialect_writer import Dialect, every_dialect, frame_layout, some_rows, write

from evenhand.errors import BadLog, BadRecord
from evenhand.records.layouts import Column, Layout, LogKind, Role
from evenhand.traces import flaws
from evenhand.traces.frames import read_frames
from evenhand.traces.limits import MIB, Limits
from evenhand.traces.probe import probe
from evenhand.traces.proposals import propose
from evenhand.traces.scores import read_scores
from evenhand.traces.sensors import read_sensors

LAYOUT = frame_layout()
CLEAN = write(Dialect(), some_rows())
FRAME_ALONE = Layout(
    fingerprint="",
    kind=LogKind.FRAMES,
    columns=(Column(header="frame [ms]", role=Role.FRAME_TIME, unit="ms"),),
)


def _refusal(data: bytes, layout: Layout = LAYOUT, *, limits: Limits | None = None) -> BadLog:
    with pytest.raises(BadLog) as caught:
        read_frames(data, layout, name="crowd.csv", limits=limits or Limits())
    assert caught.value.where.startswith("crowd.csv")
    assert caught.value.todo
    return caught.value


@pytest.mark.parametrize(
    ("data", "found"),
    [
        (b"", "the file is empty"),
        (b"\n\n  \n", "only blank lines"),
        (gzip.compress(b""), "the archive is empty"),
        (b"n,t [s],frame [ms]\n", "a header but no row"),
        (b"# made at noon\nn,t [s],frame [ms]", "a header but no row"),
        (b"# made at noon\n# and again\n", "only comments"),
        (b"\x89PNG\r\n\x1a\n\0\0\0\rIHDR\0\0\2\0", "zero bytes"),
        (bytes(range(1, 200)) * 40, "binary"),
        (b"one fine day\nthe machine stood still\nand nobody measured\n", "no row of numbers found"),
    ],
    ids=lambda v: v[:24] if isinstance(v, str) else "",
)
def test_files_without_rows(data: bytes, found: str) -> None:
    assert found in _refusal(data).found


def test_a_missing_column_is_named_with_those_present_and_the_nearest() -> None:
    refusal = _refusal(CLEAN.replace(b"frame [ms]", b"frames [ms]"))
    assert refusal.found.startswith(
        "the layout needs column 'frame [ms]', the log has 'n', 't [s]', 'frames [ms]'"
    )
    assert refusal.todo == "did you mean 'frames [ms]'?"
    assert refusal.where == "crowd.csv, line 1"


def test_a_delimiter_nobody_uses_leaves_one_column() -> None:
    assert "no row of numbers" in _refusal(CLEAN.replace(b",", b"^")).found


def test_a_frame_column_without_a_number_names_line_and_column() -> None:
    rows = some_rows()
    for row in rows:
        row[2] = "off"
    refusal = _refusal(write(Dialect(), rows))
    assert refusal.where == "crowd.csv, line 2, column 'frame [ms]'"
    assert refusal.found.startswith("0 usable frames in 40 rows, at least 2 are needed (unreadable field")


@pytest.mark.parametrize("text", ["NaN", "inf", ""])
def test_a_frame_column_of_nothing_but_nan(text: str) -> None:
    rows = some_rows()
    for row in rows:
        row[2] = text
    assert _refusal(write(Dialect(), rows)).where == "crowd.csv, line 2, column 'frame [ms]'"


def test_one_frame_is_no_run() -> None:
    assert "1 usable frame in 1 row," in _refusal(write(Dialect(), some_rows(1))).found
    assert read_frames(write(Dialect(), some_rows(2)), LAYOUT, name="log").frame_times_ms.size == 2


def test_a_clock_alone_needs_three_rows() -> None:
    clock = Layout(fingerprint="", kind=LogKind.FRAMES, columns=LAYOUT.columns[1:2])
    assert "1 usable frame in 2 rows" in _refusal(write(Dialect(), some_rows(2)), clock).found


def test_one_endless_line_is_refused_in_little_memory() -> None:
    data = b"7" * (64 * MIB)  # stands for a line of 2 GB: only the beginning is ever looked at
    tracemalloc.start()
    refusal = _refusal(data)
    assert tracemalloc.get_traced_memory()[1] < 24 * MIB
    tracemalloc.stop()
    assert refusal.found == "the line is longer than 1,048,576 bytes, the limit for one row"
    assert refusal.where == "crowd.csv, line 1"


def test_an_endless_line_further_down_is_refused_with_its_line() -> None:
    data = CLEAN + b"40,0.7,16.5," + b"8" * (2 * MIB) + b"\n41,0.8\n"
    refusal = _refusal(data)
    assert (refusal.where, "longer than" in refusal.found) == ("crowd.csv, line 42", True)


def test_ten_million_columns_are_refused_before_anything_splits_them() -> None:
    data = b"a," * 10_000_000 + b"\n"
    refusal = _refusal(data)
    assert "columns, past the limit of 4,096" in refusal.found
    assert refusal.where == "crowd.csv, line 1"


@pytest.mark.parametrize("more", [b"", b"# a remark\n"])
def test_the_first_row_too_many_is_refused_whichever_way_the_log_is_read(more: bytes) -> None:
    refusal = _refusal(b"frame [ms]\n" + more + b"16.5\n" * 31, FRAME_ALONE, limits=Limits(max_rows=30))
    assert refusal.found == "the log has more rows than one run can: past the limit of 30"
    assert refusal.todo == "split it into one file a run, or check that each row is a frame"


def test_limits_are_inputs() -> None:
    assert "past the limit of 100 bytes" in _refusal(CLEAN, limits=Limits(max_bytes=100)).found
    assert "past the limit of 4" in _refusal(CLEAN, limits=Limits(max_columns=4)).found
    assert "past the limit of 30" in _refusal(CLEAN, limits=Limits(max_rows=30)).found
    assert "longer than 16 bytes" in _refusal(CLEAN, limits=Limits(max_line_bytes=16)).found


def test_a_gzip_bomb_is_refused_by_its_ratio() -> None:
    bomb = gzip.compress(b"n,t [s],frame [ms],gpu [ms],note\n" + b"1,1,1,1,1\n" * (6 * MIB))
    tracemalloc.start()
    refusal = _refusal(bomb)
    assert tracemalloc.get_traced_memory()[1] < 40 * MIB
    tracemalloc.stop()
    assert "more than 200 times its size" in refusal.found


def test_a_gzip_bomb_is_refused_by_its_size() -> None:
    packed = gzip.compress(CLEAN * 100)
    assert "more than 2,000 bytes" in _refusal(packed, limits=Limits(max_unpacked_bytes=2000)).found


def test_an_archive_in_an_archive_is_not_unpacked_twice() -> None:
    assert "binary" in _refusal(gzip.compress(gzip.compress(CLEAN, mtime=0), mtime=0)).found


def test_a_damaged_archive_is_refused() -> None:
    packed = bytearray(gzip.compress(CLEAN, mtime=0))
    packed[-6] ^= 0xFF
    assert "archive is damaged" in _refusal(bytes(packed)).found
    assert "archive is damaged" in _refusal(gzip.compress(CLEAN) + b"and more").found


def test_an_archive_cut_short_gives_its_rows_and_says_so() -> None:
    packed = gzip.compress(write(Dialect(), some_rows(4000)), mtime=0)
    trace = read_frames(packed[: len(packed) // 2], LAYOUT, name="log")
    assert 100 < trace.frame_times_ms.size < 4000
    assert flaws.CUT_ARCHIVE in {f.kind for f in trace.flaws}


def test_archives_joined_end_to_end_are_one_log() -> None:
    half = len(CLEAN) // 2
    joined = gzip.compress(CLEAN[:half]) + gzip.compress(CLEAN[half:]) + b"\0" * 512
    assert read_frames(joined, LAYOUT, name="log").frame_times_ms.size == 40


def test_a_compressed_stream_of_any_chunking_unpacks_whole() -> None:
    rows = some_rows(3000)
    packer = zlib.compressobj(level=1, wbits=31)
    text = write(Dialect(), rows)
    pieces = [
        packer.compress(text[k : k + 997]) + packer.flush(zlib.Z_FULL_FLUSH) for k in range(0, len(text), 997)
    ]
    trace = read_frames(b"".join(pieces) + packer.flush(), LAYOUT, name="log")
    assert trace.frame_times_ms.tolist() == [row[2] for row in rows]
    assert trace.flaws == ()


def test_two_encodings_of_eight_bits_are_listed_with_the_line() -> None:
    lines = CLEAN.splitlines(keepends=True)
    lines[30] = lines[30].decode().encode("cp1252")
    trace = read_frames(b"".join(lines), LAYOUT, name="log")
    (flaw,) = trace.flaws
    assert (flaw.kind, flaw.line, flaw.count) == (flaws.MIXED_ENCODINGS, 31, 1)
    assert trace.frame_times_ms.tolist() == [row[2] for row in some_rows()]


def test_wide_text_behind_plain_text_is_refused_with_the_line() -> None:
    refusal = _refusal(CLEAN + "40,0.7,16.5,8.1,x\n".encode("utf-16-le"))
    assert refusal.where == "crowd.csv, line 42"
    assert "two encodings" in refusal.found


def test_plain_text_behind_wide_text_is_refused_or_listed() -> None:
    wide = write(Dialect(encoding="utf-16-le", mark=b"\xff\xfe"), some_rows())
    lone_surrogate = b"\x00\xd8\x31\x00"
    refusal = _refusal(wide + lone_surrogate)
    assert (refusal.where, "UTF-16-LE" in refusal.found) == ("crowd.csv, line 42", True)


def test_values_within_values_are_refused_with_line_and_key() -> None:
    data = b'{"frame [ms]": 16.5, "t [s]": 0}\n{"frame [ms]": {"of": 16.5}, "t [s]": 1}\n'
    refusal = _refusal(data)
    assert refusal.where == "crowd.csv, line 2, column 'frame [ms]'"


def test_json_that_is_not_one_object_a_line_is_refused() -> None:
    assert "no complete object" in _refusal(b'{\n  "frame [ms]": 16.5\n}\n').found


@pytest.mark.parametrize(
    "data", [b"[" * 200_000, b'[\n  {"frame [ms]": 16.5},\n  {"frame [ms]": 16.6}\n]\n', b"[[16.5, 0]]\n"]
)
def test_a_json_list_is_refused_as_one(data: bytes) -> None:
    refusal = _refusal(b"\n" + data)
    assert (refusal.where, "begins with a list" in refusal.found) == ("crowd.csv, line 2", True)
    assert "one flat object a line" in refusal.todo


def test_a_header_in_square_brackets_is_no_json_list() -> None:
    assert "a header but no row" in _refusal(b"[ms],[s]\n").found


def test_broken_json_lines_are_listed_and_left_out() -> None:
    lines = write(Dialect(json=True), some_rows()).splitlines()
    lines[10] = b'{"n": 10, "t [s'
    lines[20] = b'{"n": 20.0, "t [s]": 0.5, "gpu [ms]": null, "frame [ms]": true}'
    trace = read_frames(b"\n".join([*lines, b'{"n": 40, "t [s]'][:41]), LAYOUT, name="log")
    kinds = [(f.kind, f.line) for f in trace.flaws]
    assert (flaws.UNREADABLE_ROW, 11) in kinds
    assert (flaws.UNREADABLE_FIELD, 21) in kinds
    assert (flaws.EMPTY_FIELD, 21) in kinds
    assert (flaws.SHORT_LAST_ROW, 41) in kinds
    assert trace.frame_times_ms.size == 39


def test_a_layout_that_asks_the_impossible_is_a_bad_record() -> None:
    nothing = Layout(fingerprint="", kind=LogKind.FRAMES, columns=())
    with pytest.raises(BadRecord):
        read_frames(CLEAN, nothing, name="log")
    watts = Column(header="frame [ms]", role=Role.FRAME_TIME, unit="W")
    with pytest.raises(BadRecord, match="a unit of power"):
        read_frames(CLEAN, Layout(fingerprint="", kind=LogKind.FRAMES, columns=(watts,)), name="log")


SENSORS = Layout(
    fingerprint="",
    kind=LogKind.SENSORS,
    columns=(Column(header="column 1", role=Role.TIMESTAMP), Column(header="column 2", role=Role.LOAD)),
)
SCORES = Layout(
    fingerprint="",
    kind=LogKind.SCORES,
    columns=(Column(header="column 1", role=Role.TEST), Column(header="column 2", role=Role.SCORE)),
)
FRAMES = Layout(
    fingerprint="",
    kind=LogKind.FRAMES,
    columns=(Column(header="column 1", role=Role.FRAME_TIME), Column(header="column 2", role=Role.ELAPSED)),
)


def _refused(attempt: Callable[[], object]) -> BadLog | None:
    try:
        attempt()
    except BadLog as refusal:
        return refusal
    return None


def _try_everything(data: bytes) -> None:
    attempts: list[Callable[[], object]] = [
        lambda: propose(probe(data, name="x")),
        lambda: read_frames(data, LAYOUT, name="x"),
        lambda: read_frames(data, FRAMES, name="x"),
        lambda: read_sensors(data, SENSORS, name="x"),
        lambda: read_scores(data, SCORES, name="x"),
    ]
    for refusal in map(_refused, attempts):
        assert refusal is None or (refusal.where.startswith("x") and refusal.todo)


@given(st.binary(max_size=300))
@example(b"\x1f\x8b")
@example(b"\xff\xfe")
@example(b"\xff\xfe0")
@example(b"[" * 100_000)
@example(b'{"a":' * 5000)
@example(b'{"a": ' + b"9" * 5000 + b"}\n")
@example(b"0\n0\n0")
def test_no_bytes_raise_anything_but_a_bad_log(data: bytes) -> None:
    _try_everything(data)


texts = st.text(alphabet='0123456789,.;:|"\t \n\r#-+eEnaif/{}[]µ°', max_size=200)


@given(texts, st.sampled_from(["utf-8", "utf-16", "utf-16-be", "utf-32"]))
def test_no_text_raises_anything_but_a_bad_log(text: str, encoding: str) -> None:
    _try_everything(text.encode(encoding))


@given(st.data(), st.sampled_from(list(every_dialect())))
def test_no_damage_to_a_clean_log_raises_anything_but_a_bad_log(
    data: st.DataObject, dialect: Dialect
) -> None:
    log = bytearray(write(dialect, some_rows(12)))
    rng = random.Random(data.draw(st.integers(0, 2**32)))
    for _ in range(data.draw(st.integers(1, 6))):
        at = rng.randrange(len(log))
        choice = rng.randrange(3)
        if choice == 0:
            log[at] = rng.randrange(256)
        elif choice == 1:
            del log[at : at + rng.randrange(1, 30)]
        else:
            log[at:at] = bytes(rng.randrange(256) for _ in range(rng.randrange(1, 6)))
        log = log or bytearray(b"1")
    _try_everything(bytes(log))
