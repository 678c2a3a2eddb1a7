from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from tests.triage.cells import ALONE, GAME, WORK, cell, clock_log, plain, run, scores, take, trace
from tests.triage.sensed import channel, machine, readings

from evenhand.metrics.alignment import Alignment, How
from evenhand.metrics.run_metrics import RunMetrics
from evenhand.records.faults import Fault, Severity
from evenhand.records.layouts import Role
from evenhand.traces.flaws import ASSUMED_UNIT
from evenhand.traces.trace import Flaw, SensorLog
from evenhand.triage.candidate import Candidate, Company
from evenhand.triage.unjudged import unjudged


def said(*runs: Candidate, company: Company = ALONE) -> str:
    return "\n".join(unjudged(runs, company)[runs[0].id])


def everything(seed: int) -> SensorLog:
    """A log with a channel for each kind of fault that sensors show."""
    log = machine(seed)
    more = (
        channel(Role.LOAD, readings(2.0, seed), "other programs"),
        channel(Role.MEMORY, readings(6000.0, seed)),
    )
    return replace(log, channels=(*log.channels, *more))


def test_a_run_with_everything_on_record_leaves_no_question() -> None:
    full = [replace(r, sensors=everything(seed), ambient_c=24.0) for seed, r in enumerate(cell(3))]
    assert said(*full) == ""


def test_missing_sensors_room_and_clock_are_told() -> None:
    bare = run("1", take(1), trace=trace(take(1), None))
    words = said(bare, *cell(3)[1:])
    assert "What sensors tell: no sensor log." in words
    assert "The room: no temperature on record." in words
    assert "Lost frames and gaps: the log holds no clock beside its frame times." in words
    assert "Copied rows, unless the log counts its frames: it holds no clock" in words
    assert "Copied rows" not in said(*cell(3))


def test_sensors_without_a_clock_or_without_load_are_told() -> None:
    log = clock_log(np.full(60, 4700.0), load_pct=20.0)
    assert "no part was at load" in said(replace(cell(1)[0], sensors=log))
    assert "holds no clock" in said(replace(cell(1)[0], sensors=replace(log, channels=log.channels[1:])))


def test_why_a_sensor_log_is_not_used_is_told() -> None:
    metrics = RunMetrics(values={}, absent={"sensors": "the sensor log lasts 400 s, the run 30 s"})
    told = said(replace(cell(1)[0], metrics=metrics))
    assert "What sensors tell: the sensor log lasts 400 s, the run 30 s." in told


def test_channels_that_are_not_logged_are_told() -> None:
    told = said(replace(cell(1)[0], sensors=clock_log(np.full(60, 4700.0))))
    assert "Power limits, fans and full memory: the sensor log holds no such channel." in told
    assert "Other programs at work: the sensor log does not tell their share." in told
    assert "fans" not in said(*[replace(r, sensors=everything(1)) for r in cell(2)])


def test_power_with_too_few_witnesses_is_told() -> None:
    runs = [replace(r, sensors=everything(seed)) for seed, r in enumerate(cell(3))]
    assert "Power below" not in said(*runs)
    assert "fewer than two of them have theirs on record" in said(*runs[:2])


def test_readings_that_freeze_are_told_with_the_moment() -> None:
    log = machine(1)
    alive = log.time_s < 60
    dead = tuple(replace(c, values=np.where(alive, c.values, c.values[60])) for c in log.channels)
    told = said(replace(cell(1)[0], sensors=replace(log, channels=dead)))
    assert "What sensors tell after 60.0\u00a0s: from then on no reading changes any more." in told


def test_too_few_siblings_are_told() -> None:
    assert "the run has no siblings" in said(*cell(1))
    assert "where two runs differ nobody can say which is the odd one" in said(*cell(2))
    assert "this one's number is −13.2 % from that of run 2" in plain(said(*scores(4.60, 5.30)))
    assert "Level" not in said(*cell(3))


def test_three_runs_that_all_differ_are_told_as_not_judged() -> None:
    assert "Level: the three runs all differ" in plain(said(*scores(99.98, 93.13, 78.24)))
    assert "all differ" not in said(*scores(99.98, 99.1, 78.24))
    assert "Level: the runs of this test all differ" in plain(
        said(*scores(123.0, 387.0, 212.0, 814.0, 495.0))
    )
    assert "all differ" not in said(*scores(100.0, 101.0, 99.0, 100.5, 814.0))


def test_frames_that_say_too_little_are_told() -> None:
    assert "has no frame log" in said(*scores(60.0))
    assert "too few to recognise" in said(run("1", take(1)[:40]))
    assert "nothing to recognise a run by" in said(run("1", np.full(600, 16.6668)))
    assert "Held rates: the run is shorter than 4.0" in said(run("1", take(1)[:200]))
    assert "Held rates" not in said(*scores(4.6), company=Company(test=WORK))


def test_an_assumed_unit_is_told() -> None:
    assert "The unit" in said(replace(cell(1)[0], flaws=(Flaw(kind=ASSUMED_UNIT, detail=""),)))


def test_stamps_that_the_test_declares_or_siblings_carry_are_missed() -> None:
    declared = Company(test=replace(GAME, settings={"resolution": "2560x1440"}))
    runs = cell(2)
    other = replace(runs[1], stamps={"driver": "41.2", "operator": "Bo"})
    assert "does not say its driver and resolution." in said(runs[0], other, company=declared)


def test_runs_too_short_for_a_course_or_a_sag_are_told() -> None:
    assert "Course: the run is shorter than 3\u00a0s." in said(run("1", take(1, seconds=2.0)))
    assert "A slow sag: the run is shorter than 16\u00a0s" in said(run("1", take(1, seconds=10.0)))
    assert "shorter than" not in said(run("1", take(1, seconds=20.0)))


def test_siblings_that_are_all_held_are_none() -> None:
    runs = cell(3)
    held = Fault(kind="rate-cap", title="", severity=Severity.IN_DOUBT, evidence="", todo="")
    told = unjudged(runs, ALONE, found={"2": [held], "3": [held]})
    assert any("all its siblings are held for something else" in line for line in told["1"])
    assert not any("all its siblings are held" in line for line in told["2"])


def test_holes_and_loggers_that_never_moved_are_told() -> None:
    log = machine(1)
    seen = (log.time_s < 20) | (log.time_s > 60)
    holed = replace(
        log, time_s=log.time_s[seen], channels=tuple(replace(c, values=c.values[seen]) for c in log.channels)
    )
    assert "What sensors tell from 19.0\u00a0s to 61.0\u00a0s" in said(replace(cell(1)[0], sensors=holed))
    dead = replace(log, channels=tuple(replace(c, values=np.full(120, c.values[0])) for c in log.channels))
    told = said(replace(cell(1)[0], sensors=dead))
    assert "no reading ever changes" in told
    assert "Falling clocks" not in told


def covering(from_s: float, to_s: float) -> SensorLog:
    """Everything at work, each half second from one moment of the run to another."""
    log = everything(1)
    return replace(log, time_s=np.linspace(from_s, to_s, log.time_s.size))


@pytest.mark.parametrize(
    ("from_s", "to_s", "words"),
    [
        (0.0, 30.0, ""),
        (12.0, 30.0, "What sensors tell from 0.0 s to 12.0 s: there are no readings."),
        (0.0, 20.0, "What sensors tell from 20.0 s to "),
    ],
)
def test_the_parts_of_a_run_that_its_sensor_log_does_not_cover_are_told(
    from_s: float, to_s: float, words: str
) -> None:
    told = plain(said(replace(cell(1)[0], sensors=covering(from_s, to_s))))
    assert words in told
    assert ("there are no readings" in told) is bool(words)


@pytest.mark.parametrize(
    ("empty", "words"),
    [
        (slice(40, 90), "The graphics clock from 9.8 s to 22.7 s: its readings are empty."),
        (slice(30, None), "The graphics clock: 75 % of its readings are empty."),
    ],
)
def test_a_channel_that_is_empty_for_long_is_told(empty: slice, words: str) -> None:
    log = covering(0.0, 30.0)
    values = log.channels[1].values.copy()
    values[empty] = np.nan
    clock = replace(log.channels[1], values=values)
    holed = replace(log, channels=(log.channels[0], clock, *log.channels[2:]))
    told = plain(said(replace(cell(1)[0], sensors=holed)))
    assert words in told
    assert told.count("its readings are empty") == 1


@pytest.mark.parametrize(
    ("moved_s", "words"),
    [(12.0, ""), (3612.0, ""), (420.0, "7.0 min"), (72 * 3600.0, "72 h")],
)
def test_readings_that_the_times_of_day_put_elsewhere_are_doubted(moved_s: float, words: str) -> None:
    found = Alignment(offset_s=40.0, how=How.EDGES, score=0.9, moved_s=moved_s)
    told = plain(said(replace(cell(1)[0], sensors=everything(1), alignment=found)))
    assert ("Whether the readings are of this run" in told) is bool(words)
    assert words in told


def test_readings_that_never_change_within_a_run_found_by_its_edges_are_no_dead_logger() -> None:
    log = everything(1)
    still = replace(log, channels=tuple(replace(c, values=np.full(120, c.values[0])) for c in log.channels))
    assert "the logger was dead" in said(replace(cell(1)[0], sensors=still))
    found = Alignment(offset_s=40.0, how=How.EDGES, score=0.9)
    told = said(replace(cell(1)[0], sensors=still, alignment=found))
    assert "the logger was dead" not in told
    assert "no part was at load" not in told


def test_a_room_that_nothing_can_be_held_against_is_told() -> None:
    warm, *others = (replace(r, sensors=everything(1)) for r in cell(3))
    words = "The room: the study declares no range, and fewer than two siblings have theirs on record."
    assert words in said(replace(warm, ambient_c=33.0), *others)
    assert words not in said(*(replace(r, ambient_c=24.0) for r in (warm, *others)))
    ranged = replace(ALONE, ambient_c=(20.0, 26.0))
    assert words not in said(replace(warm, ambient_c=33.0), *others, company=ranged)


def test_a_logger_that_is_off_by_as_much_in_every_run_has_a_clock_that_is_off() -> None:
    found = [Alignment(offset_s=20.0, how=How.EDGES, score=0.9, moved_s=47.0 + 0.1 * i) for i in range(5)]
    runs = [replace(r, sensors=everything(i), alignment=found[i]) for i, r in enumerate(cell(5))]
    assert "Whether the readings are of this run" not in said(*runs)
    alone = [runs[0], *(replace(r, alignment=replace(found[0], moved_s=0.2)) for r in runs[1:])]
    assert "Whether the readings are of this run" in said(*alone)
