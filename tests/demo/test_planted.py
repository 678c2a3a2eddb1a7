"""Every planted fault is really there, and nothing else is wrong with the Saltmarsh folder."""

from __future__ import annotations

import json

import pytest

from evenhand.demo.planted import PLANTED
from evenhand.demo.saltmarsh import saltmarsh
from evenhand.folders.reading import read_study
from evenhand.folders.study_folder import STUDY_FILE, RunEntry
from evenhand.metrics.frames import measure
from evenhand.metrics.run_metrics import RunMetrics
from evenhand.metrics.score import score_metrics
from evenhand.records.faults import Severity
from evenhand.records.layouts import Layout
from evenhand.traces.frames import read_frames
from evenhand.traces.scores import read_scores
from evenhand.traces.sensors import read_sensors
from evenhand.traces.trace import Trace
from evenhand.triage.candidate import Candidate, Company
from evenhand.triage.triage import triage_cell

FILES = saltmarsh()
STUDY = read_study(FILES[STUDY_FILE].decode(), where=STUDY_FILE)
RUNS = {run.label: run for run in STUDY.runs}
SETUPS = tuple(setup.key for setup in STUDY.setups)
LAYOUTS = {
    entry.name: Layout(fingerprint="", kind=entry.kind, columns=entry.columns, name=entry.name)
    for entry in STUDY.layouts
}


def trace(run: RunEntry) -> Trace | None:
    return read_frames(FILES[run.log], LAYOUTS[run.layout or ""], name=run.log) if run.log else None


def measured(run: RunEntry, frames: Trace | None) -> RunMetrics:
    if frames is not None:
        return measure(frames)
    if run.scores and run.row:
        rows = read_scores(FILES[run.scores], LAYOUTS[run.layout or ""], name=run.scores).rows
        return score_metrics(
            *[row.score for row in rows if (row.test, row.run) == (run.row.test, run.row.run)]
        )
    assert run.score is not None
    return score_metrics(run.score)


def candidate(run: RunEntry) -> Candidate:
    frames = trace(run)
    metrics = measured(run, frames)
    sensors = (
        read_sensors(FILES[run.sensors], LAYOUTS[run.sensor_layout or ""], name=run.sensors)
        if run.sensors
        else None
    )
    return Candidate(
        id=run.label,
        label=run.label,
        headline=metrics.values.get("average_fps", metrics.values.get("score")),
        trace=frames,
        sensors=sensors,
        metrics=metrics,
        stamps=run.stamps,
        ambient_c=run.ambient_c,
        flaws=frames.flaws if frames else (),
    )


@pytest.fixture(scope="module")
def holding() -> dict[str, set[str]]:
    """By run: the kinds of fault that hold it, as triage sees each cell beside its peers."""
    cells = {(t.key, s): [candidate(r) for r in STUDY.runs if (r.test, r.setup) == (t.key, s)]
             for t in STUDY.tests for s in SETUPS}  # fmt: skip
    found: dict[str, set[str]] = {}
    for test in STUDY.tests:
        for setup in SETUPS:
            peers = tuple(tuple(cells[test.key, other]) for other in SETUPS if other != setup)
            company = Company(test=test, peers=peers, ambient_c=STUDY.study.ambient_c)
            for run, faults in triage_cell(cells[test.key, setup], company).items():
                found[run] = {fault.kind for fault in faults if fault.severity is not Severity.NOTE}
    return found


@pytest.mark.parametrize("planted", PLANTED, ids=[planted.kind for planted in PLANTED])
def test_triage_finds_what_was_planted(planted: object, holding: dict[str, set[str]]) -> None:
    (here,) = [p for p in PLANTED if p is planted]
    assert here.kind in holding[here.label]


def test_triage_holds_no_good_run(holding: dict[str, set[str]]) -> None:
    assert {run for run, kinds in holding.items() if kinds} == {planted.label for planted in PLANTED}


def test_each_planted_file_belongs_to_its_run() -> None:
    for planted in PLANTED:
        run = RUNS[planted.label]
        assert planted.file in (run.log, run.sensors)
        assert planted.file in FILES


def test_the_capped_run_lies_flat() -> None:
    frames = trace(RUNS["Plover, Hollow Regatta 3"])
    assert frames is not None
    near = abs(frames.frame_times_ms - 6.945) < 0.1
    assert near.mean() > 0.9
    assert 1000 / frames.frame_times_ms.mean() == pytest.approx(143.9, abs=0.01)


def test_the_hot_run_throttles_at_minute_nine() -> None:
    run = RUNS["Dunlin, Night render, hot room"]
    rows = [line.split(",") for line in FILES[run.sensors or ""].decode().splitlines()[1:]]
    before = [float(row[1]) for row in rows if float(row[0]) < 540]
    after = [float(row[1]) for row in rows if float(row[0]) >= 540]
    assert sorted(before)[len(before) // 2] == pytest.approx(4.70, abs=0.01)
    assert sorted(after)[len(after) // 2] == pytest.approx(4.15, abs=0.01)
    assert len(after) == len(before)


def test_the_lower_resolution_is_stamped_and_quicker() -> None:
    wrong, test = RUNS["Wren, Salt Causeway 2, first go"], next(t for t in STUDY.tests if t.key == "causeway")
    frames = trace(wrong)
    assert frames is not None
    assert wrong.stamps["resolution"] != test.settings["resolution"]
    assert 1000 / frames.frame_times_ms.mean() == pytest.approx(61 * 1.095, rel=1e-4)


def test_the_copy_holds_the_last_frames_of_its_origin_in_other_bytes() -> None:
    origin, copy = RUNS["Plover, Nine Tramlines 4"], RUNS["tramlines-final-2"]
    whole, cut = (FILES[run.log or ""].decode().splitlines() for run in (origin, copy))
    frames = [line.split("|")[0] for line in whole[1:]]
    kept = [line.split("|")[0] for line in cut[1:]]
    assert frames[-len(kept) :] == kept
    lacking_s = sum(int(frame) for frame in frames[: -len(kept)]) / 1e6
    assert 2.0 <= lacking_s < 2.05


def test_the_other_driver_is_stamped_on_one_run_and_changes_nothing_else() -> None:
    drivers = {run.label: run.stamps["driver"] for run in STUDY.runs}
    assert [label for label, driver in drivers.items() if driver != "31.4"] == ["Dunlin, Ember Parish 2"]
    times = [json.loads(line)["took_ms"] for line in FILES["logs/dunlin/ember-2.jsonl"].splitlines()]
    assert 1000 * len(times) / sum(times) == pytest.approx(89.3, abs=0.01)
