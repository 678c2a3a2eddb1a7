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
from evenhand.traces.sensors import read_sensors

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


def test_a_reading_beside_times_that_are_in_step_with_the_clock_makes_no_sensor_log() -> None:
    rows = [f"{row.split(',', 1)[1]},60" for row in _clocked(0.0085, 0.0085)]
    proposal = _proposal("Durée (s),Trame (s),Température °C", rows)
    assert proposal.kind is LogKind.FRAMES
    assert _used(proposal) == {"Durée (s)": (Role.ELAPSED, "s"), "Trame (s)": (Role.FRAME_TIME, "s")}


def test_a_time_between_readings_makes_no_frame_log() -> None:
    rows = [f"{row.split(',', 1)[1]},60" for row in _clocked(0.5, 0.5)]
    assert _proposal("t (s),pause (s),temp °C", rows).kind is LogKind.SENSORS


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


@pytest.mark.parametrize("header", ["timestamp", "time", "epoch", "stamp"])
@pytest.mark.parametrize(("unit", "scale"), [("s", 1e-3), ("us", 1e3), ("ns", 1e6)])
def test_a_lone_column_that_never_falls_is_a_clock_and_no_frame_time(
    header: str, unit: str, scale: float
) -> None:
    rows = [repr(round((12 * k + k * 5 % 7) * scale, 6)) for k in range(1, 65)]
    proposal = _proposal(header, rows)
    assert proposal.kind is LogKind.FRAMES
    assert _used(proposal) == {header: (Role.ELAPSED, unit)}
    assert not proposal.sure, "no header says the unit"


@pytest.mark.parametrize("header", ["column", "frametime"])
def test_what_never_falls_is_never_a_frame_time(header: str) -> None:
    proposal = _proposal(header, [f"{12 * k + k * 5 % 7}" for k in range(1, 40)])
    assert Role.FRAME_TIME not in {role for role, _ in _used(proposal).values()}


@pytest.mark.parametrize("header", ["timestamp", "epoch", "Time Stamp"])
@pytest.mark.parametrize(
    ("step", "start", "unit"),
    [(0.0165, 0.0, "s"), (16.5, 1.9357056e12, "ms"), (16_500.0, 1.9357056e15, "us")],
)
def test_a_clock_beside_frame_times_is_kept_as_a_second_witness(
    header: str, step: float, start: float, unit: str
) -> None:
    rows = [row.split(",") for row in _clocked(step, 16.5)]
    proposal = _proposal(f"{header},frametime", [f"{float(t) + start!r},{frame}" for _, t, frame in rows])
    assert _used(proposal) == {header: (Role.ELAPSED, unit), "frametime": (Role.FRAME_TIME, "ms")}
    assert proposal.sure, "header and values both say so"
    assert "which agrees with the frame times" in proposal.columns[0].reason


def test_a_column_without_a_word_of_time_is_a_clock_by_agreement_and_asked_about() -> None:
    rows = [",".join(row.split(",")[1:]) for row in _clocked(16.5, 16.5)]
    proposal = _proposal("present,frame [ms]", rows)
    assert _used(proposal)["present"] == (Role.ELAPSED, "ms")
    assert proposal.doubt == "header and values do not settle 'present'"


def test_a_second_clock_is_told_as_one() -> None:
    rows = [f"{k},{row.split(',')[1]},{row}" for k, row in enumerate(_clocked(0.0165, 16.5))]
    proposal = _proposal("n,timestamp,row,elapsed [s],frame [ms]", rows)
    assert proposal.columns[1].reason == "a clock too, as 'elapsed [s]' is; one is enough"


@pytest.mark.parametrize("header", ["time", "elapsed", "timestamp", "t"])
@pytest.mark.parametrize(
    ("step", "unit"), [(1, "s"), (2, "s"), (0.5, "s"), (500, "ms"), (1000, "ms"), (1_000_000, "us")]
)
def test_a_clock_of_sensors_without_a_unit_is_read_in_steps_of_readings(
    header: str, step: float, unit: str
) -> None:
    proposal = _proposal(
        f"{header},core temp [C],fan", [f"{k * step},{50 + k % 3},{900 + k}" for k in range(20)]
    )
    assert proposal.kind is LogKind.SENSORS
    assert _used(proposal) == {
        header: (Role.ELAPSED, unit),
        "core temp [C]": (Role.TEMPERATURE, "°C"),
        "fan": (Role.FAN, "rpm"),
    }
    assert proposal.doubt == f"header and values do not settle '{header}', 'fan'"


@pytest.mark.parametrize("scale", [1, 1000], ids=["seconds", "milliseconds"])
def test_readings_counted_since_1970_tell_when_they_began(scale: int) -> None:
    rows = [f"{(1_935_705_600 + k) * scale};{50 + k % 3},5" for k in range(20)]
    data = "\n".join(["timestamp;core temp [C]", *rows, ""]).encode()
    proposal = propose(probe(data, name="log"))
    assert _used(proposal)["timestamp"] == (Role.TIMESTAMP, "")
    read = read_sensors(data, proposal.layout(), name="log")
    assert read.started_at is not None
    assert read.started_at.isoformat() == "2031-05-05T00:00:00+00:00"
    assert read.time_s.tolist() == list(range(20))


def test_a_graphics_card_s_core_and_board_power_are_its_own() -> None:
    header = "elapsed [s],GPU core [°C],CPU core [°C],board draw [W],mainboard [°C]"
    proposal = _proposal(header, [f"{s},{60 + s},{50 + s},{200 + s},40" for s in range(10)])
    about = {p.column.header: p.column.about for p in proposal.columns}
    assert about["GPU core [°C]"] == about["board draw [W]"] == "graphics"
    assert (about["CPU core [°C]"], about["mainboard [°C]"]) == ("processor", "board")
