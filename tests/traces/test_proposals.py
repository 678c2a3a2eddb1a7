"""The proposal names each column's role with a reason, by words, units and the way values behave."""

from __future__ import annotations

from pathlib import Path

import pytest
from tests.traces.dialect_writer import Dialect, some_rows, write

from evenhand.records.layouts import LogKind, Role
from evenhand.traces.fingerprints import fingerprint
from evenhand.traces.frames import read_frames
from evenhand.traces.probe import probe
from evenhand.traces.proposals import Proposal, propose

REAL_FRAMES = Path(__file__).parents[2] / "examples" / "real-frames"


def _proposal(header: str, rows: list[str]) -> Proposal:
    return propose(probe("\n".join([header, *rows, ""]).encode(), name="log"))


def _used(proposal: Proposal) -> dict[str, tuple[Role, str]]:
    columns = [p.column for p in proposal.columns]
    return {c.header: (c.role, c.unit) for c in columns if c.role is not Role.IGNORED}


def _clocked(step: float, frame: float, n: int = 30) -> list[str]:
    """A frame log in other units: the clock steps by `step`, the frames take `frame`, both uneven."""
    uneven = [1 + (k * 5 % 7) / 50 for k in range(n)]
    at = [step * sum(uneven[:k]) for k in range(n)]
    return [f"{k},{at[k]!r},{frame * uneven[k]!r}" for k in range(n)]


def test_a_plain_frame_log_is_sure_and_reads_as_proposed() -> None:
    data = write(Dialect(), some_rows())
    proposal = propose(probe(data, name="log"))
    assert (proposal.kind, proposal.sure) == (LogKind.FRAMES, True)
    assert _used(proposal) == {
        "t [s]": (Role.ELAPSED, "s"),
        "frame [ms]": (Role.FRAME_TIME, "ms"),
        "gpu [ms]": (Role.GRAPHICS_SHARE, "ms"),
    }
    reason = next(p.reason for p in proposal.columns if p.column.role is Role.FRAME_TIME)
    assert reason.startswith("header names frame, unit ms; values 16.5 to 17.75, read as ms, about 58 frames")
    assert reason.endswith("they add up to what the clock spans")
    layout = proposal.layout("three posts")
    assert layout.fingerprint == fingerprint(["n", "t [s]", "frame [ms]", "gpu [ms]", "note"])
    assert read_frames(data, layout, name="log").frame_times_ms.size == 40


@pytest.mark.parametrize(
    ("step", "frame", "clock_unit", "frame_unit"),
    [
        (0.0165, 16.5, "s", "ms"),
        (16.5, 16.5, "ms", "ms"),
        (16_500.0, 16.5, "us", "ms"),
        (16_500_000.0, 16_500.0, "ns", "us"),
        (0.0165, 0.0165, "s", "s"),
        (16_500_000.0, 16_500_000.0, "ns", "ns"),
    ],
)
def test_units_no_header_names_are_found_by_size_and_agreement(
    step: float, frame: float, clock_unit: str, frame_unit: str
) -> None:
    proposal = _proposal("index,elapsed,frame time", _clocked(step, frame))
    assert _used(proposal) == {
        "elapsed": (Role.ELAPSED, clock_unit),
        "frame time": (Role.FRAME_TIME, frame_unit),
    }
    assert proposal.sure


def test_frame_times_that_do_not_add_up_are_not_sure() -> None:
    proposal = _proposal("n,t [s],frame [ms]", _clocked(0.033, 16.5))
    frame = next(p for p in proposal.columns if p.column.role is Role.FRAME_TIME)
    assert not frame.sure
    assert "do not add up" in frame.reason
    assert not proposal.sure


def test_an_implausible_unit_in_the_header_is_not_sure() -> None:
    assert not _proposal("frame [s]", ["16.5", "16.6", "16.4"]).sure


def test_a_clock_that_ticks_like_frames_is_a_frame_log() -> None:
    proposal = _proposal("n,elapsed [s]", [f"{k},{k * 0.0165 + (k % 3) / 1000:.4f}" for k in range(20)])
    assert proposal.kind is LogKind.FRAMES
    assert _used(proposal) == {"elapsed [s]": (Role.ELAPSED, "s")}


def test_a_single_unnamed_column_of_plausible_numbers_is_offered_but_not_sure() -> None:
    proposal = propose(probe(b"16.5\n16.6\n16.4\n", name="log"))
    assert _used(proposal) == {"column 1": (Role.FRAME_TIME, "ms")}
    assert not proposal.sure


RATES = [
    "fps",
    "avg FPS",
    "frameRate",
    "frame rate [1/s]",
    "frames per second",
    "frames/s",
    "t [Hz]",
    "time_fps",
]


@pytest.mark.parametrize("header", RATES)
@pytest.mark.parametrize("clock", ["t", "elapsed [s]", "n", "remark"])
@pytest.mark.parametrize("step", [1, 0.0167], ids=["whole seconds", "once a frame"])
def test_a_rate_is_never_taken_for_a_time_and_makes_no_frame_log(
    header: str, clock: str, step: float
) -> None:
    proposal = _proposal(f"{clock},{header}", [f"{k * step:g},{58.5 + k % 3}" for k in range(20)])
    times = {Role.FRAME_TIME, Role.ELAPSED}
    assert not [p for p in proposal.columns if p.column.header == header and p.column.role in times]
    assert proposal.kind is not LogKind.FRAMES
    assert not proposal.sure
    assert proposal.doubt


@pytest.mark.parametrize("header", RATES)
def test_a_rising_or_lone_rate_is_no_time_either(header: str) -> None:
    for proposal in (
        _proposal(header, ["58.5", "59.5", "61.5"]),
        _proposal(f"n,{header}", ["0,58.5", "1,59.5", "2,61.5"]),
    ):
        assert proposal.kind is not LogKind.FRAMES
        assert not proposal.sure


def test_the_doubt_names_the_rate() -> None:
    proposal = _proposal("t,fps", [f"{k / 2},{58.5 + k % 3}" for k in range(20)])
    assert proposal.doubt == "'fps' is a rate, not the time of each frame, and no column holds that"


def test_a_table_of_rates_by_test_and_run_is_no_frame_log_gone_wrong() -> None:
    proposal = _proposal("test,run,rate [1/h]", ["Night render,1,3.1", "Photo batch,2,14.0"])
    assert (proposal.kind, proposal.sure) == (LogKind.SCORES, True)


def test_a_rate_beside_frame_times_is_not_used_and_takes_no_certainty_away() -> None:
    rows = [f"{row},{60 - k % 3}.5" for k, row in enumerate(_clocked(0.0165, 16.5))]
    proposal = _proposal("n,t [s],frame [ms],frames per second", rows)
    assert (proposal.kind, proposal.sure) == (LogKind.FRAMES, True)
    assert proposal.columns[3].column.role is Role.IGNORED
    assert proposal.columns[3].reason == "a rate, not a time"


def test_a_time_per_frame_is_no_rate() -> None:
    assert _used(_proposal("time per frame [ms]", ["16.5", "16.6", "16.4"])) == {
        "time per frame [ms]": (Role.FRAME_TIME, "ms")
    }


@pytest.mark.parametrize(
    ("header", "rows"),
    [
        ("t_s;frame_ms", ["0.0,16.5", "0.0165,16.6", "0.0331,16.4"]),
        ("t_s,frame_ms", ["0,0;16,5", "0,0165;16,6", "0,0331;16,4"]),
        ("t_s;frame_ms", ["0.0 16.5", "0.0165 16.6", "0.0331 16.4"]),
        ("t_s;frame_ms", ["16.5", "16.6", "16.4"]),
        ("n,t_s,frame_ms", ["0.0,16.5", "0.0165,16.6", "0.0331,16.4"]),
    ],
    ids=["semicolons over commas", "commas over semicolons", "semicolons over spaces", "one column", "more"],
)  # fmt: skip
def test_a_header_that_does_not_fit_its_rows_is_never_sure(header: str, rows: list[str]) -> None:
    proposal = _proposal(header, rows)
    assert not proposal.sure
    assert proposal.doubt == "the header (line 1) does not have a name for each column of the rows"


def test_the_doubt_names_the_columns_that_are_not_settled() -> None:
    proposal = _proposal("n,t [s],frame [ms]", _clocked(0.033, 16.5))
    assert proposal.doubt == "header and values do not settle 'frame [ms]'"


def test_sensor_columns_go_by_unit_then_by_word() -> None:
    proposal = _proposal(
        "time,gpu clock [MHz],cpu temp,wall power [W],gpu utilization [%],fan speed [%],vram [MiB],remark",
        [f"2031-05-14 10:20:{s:02d},1900,61,240,97,40,3000,ok" for s in range(10)],
    )
    assert proposal.kind is LogKind.SENSORS
    assert _used(proposal) == {
        "time": (Role.TIMESTAMP, ""),
        "gpu clock [MHz]": (Role.CLOCK, "MHz"),
        "cpu temp": (Role.TEMPERATURE, "°C"),
        "wall power [W]": (Role.POWER, "W"),
        "gpu utilization [%]": (Role.LOAD, "%"),
        "fan speed [%]": (Role.FAN, "%"),
        "vram [MiB]": (Role.MEMORY, "MiB"),
    }
    about = {p.column.header: p.column.about for p in proposal.columns if p.column.about}
    assert about["gpu clock [MHz]"] == "graphics"
    assert about["cpu temp"] == "processor"
    assert about["wall power [W]"] == "wall"
    assert not proposal.sure, "the temperature names no unit"


def test_a_sensor_log_with_elapsed_time_and_units_is_sure() -> None:
    proposal = _proposal("elapsed [s],board power [W]", [f"{s},{200 + s % 3}" for s in range(10)])
    assert (proposal.kind, proposal.sure) == (LogKind.SENSORS, True)


def test_a_score_table_is_sure_where_the_header_says_so() -> None:
    proposal = _proposal("test,run,score", ["Night render,1,3.1", "Photo batch,1,14.0"])
    assert (proposal.kind, proposal.sure) == (LogKind.SCORES, True)
    assert [p.column.role for p in proposal.columns] == [Role.TEST, Role.RUN, Role.SCORE]
    assert not _proposal("what,how much", ["Night render,3.1", "Photo batch,14.0"]).sure


def test_every_column_has_a_reason_and_the_preview_is_as_written() -> None:
    proposal = propose(probe(write(Dialect(delimiter=";", decimal=","), some_rows()), name="log"))
    assert all(p.reason for p in proposal.columns)
    assert proposal.preview[0] == ("0,0", "0,0", "16,5", "8,25", "24°")
    assert proposal.dialect == "utf-8, delimiter semicolon, decimal comma"


def test_the_fingerprint_forgets_spaces_and_nothing_else() -> None:
    assert fingerprint([" t  [s]", "n"]) == fingerprint(["t [s] ", "n"])
    assert len({fingerprint(h) for h in (["t", "n"], ["n", "t"], ["T", "n"], ["tn"], ["t", "n", ""])}) == 5


LOGS = sorted(p for p in REAL_FRAMES.rglob("*.csv") if p.name != "order.csv")


@pytest.mark.skipif(not LOGS, reason="the real measurements are not in this copy")
def test_the_real_measurements_are_proposed_and_read_as_what_they_are() -> None:
    for path in LOGS:
        data = path.read_bytes()
        proposal = propose(probe(data, name=path.name))
        kind = {"sensors.csv": LogKind.SENSORS, "scores.csv": LogKind.SCORES}.get(path.name, LogKind.FRAMES)
        assert proposal.kind is kind, path
        if kind is LogKind.FRAMES:
            assert proposal.sure, path
            trace = read_frames(data, proposal.layout(), name=path.name)
            assert trace.flaws == (), path
            assert 10_900 < trace.frame_times_ms.sum() < 11_100, path
