"""A run's frames for a screen: thinned without losing an extreme, siblings as one ground, parts of it."""

from __future__ import annotations

import json
import math

import pytest
from tests.desk.small_folder import FRAMES, NOW

from evenhand.desk.on_record import load_study
from evenhand.desk.runs.cutting import cut_test
from evenhand.desk.runs.deciding import find_run, set_aside
from evenhand.desk.runs.run_trace import FEWEST, Window, in_the_log, siblings_of, trace_answer
from evenhand.desk.runs.said import Said
from evenhand.errors import BadRecord, NotFound
from evenhand.records.faults import Fault, Place, Severity
from evenhand.records.windows import Window as Cut
from evenhand.store import traces
from evenhand.store.workbench import Workbench
from evenhand.traces.codec import unpack

RUN = "plover causeway 2"


def answer(wb: Workbench, label: str = RUN, **window: float) -> dict[str, object]:
    each = find_run(wb, label)
    return trace_answer(wb, load_study(wb, "quay"), each, Window(**window))  # type: ignore[arg-type]


def told(found: dict[str, object], key: str) -> list[float]:
    values = found[key]
    assert isinstance(values, list)
    return [value for value in values if value is not None]


@pytest.mark.parametrize("columns", [20, 100, FRAMES, 4000])
def test_no_extreme_is_lost_however_few_columns_there_are(stocked: Workbench, columns: int) -> None:
    frames = unpack(traces.packed_trace(stocked, find_run(stocked, RUN).run.id)).frame_times_ms
    found = answer(stocked, columns=columns)
    assert max(told(found, "high_ms")) == pytest.approx(float(frames.max()))
    assert min(told(found, "low_ms")) == pytest.approx(float(frames.min()))


def test_siblings_are_those_that_count(stocked: Workbench) -> None:
    record = load_study(stocked, "quay")
    labels = [one.run.label for one in siblings_of(record, find_run(stocked, RUN))]
    assert labels == ["plover causeway 1", "plover causeway 3"]
    set_aside(stocked, "plover causeway 1", reason="rig-fault", said=Said(note="", now=NOW))
    assert answer(stocked)["siblings"] == 1


def test_a_part_holds_what_the_whole_holds_there(stocked: Workbench) -> None:
    part = answer(stocked, from_s=1.0, to_s=2.0, columns=50)
    times = told(part, "time_s")
    assert times[0] > 1.0
    assert times[-1] < 2.0
    whole = answer(stocked)
    assert max(told(part, "high_ms")) <= max(told(whole, "high_ms"))


def test_columns_after_the_end_hold_nothing_and_json_can_say_so(stocked: Workbench) -> None:
    found = answer(stocked, columns=4000)
    text = json.loads(json.dumps(found, allow_nan=False))
    assert text == found
    assert not any(math.isnan(value) for value in told(found, "low_ms"))


@pytest.mark.parametrize("window", [{"from_s": 99.0}, {"from_s": 2.0, "to_s": 1.0}, {"from_s": math.nan}])
def test_a_part_that_is_none_is_refused(stocked: Workbench, window: dict[str, float]) -> None:
    with pytest.raises(BadRecord, match="there is nothing between"):
        answer(stocked, **window)


def test_too_few_columns_are_as_many_as_make_sense(stocked: Workbench) -> None:
    assert len(told(answer(stocked, columns=1), "time_s")) == FEWEST


def test_a_score_run_has_no_frames(stocked: Workbench) -> None:
    scored = next(r.run.label for r in load_study(stocked, "quay").runs if r.run.test == "render")
    with pytest.raises(NotFound, match="no frames to draw"):
        answer(stocked, scored)


def test_a_cut_run_shows_its_whole_log_and_says_what_is_measured(stocked: Workbench) -> None:
    whole = answer(stocked)
    cut_test(stocked, "causeway", Cut(start_s=0.5, end_s=6.0, reason="it loads", by="Ada"), now=NOW)
    cut = answer(stocked)
    assert cut["measured"] == {"start_s": 0.5, "end_s": 6.0, "reason": "it loads", "by": "Ada", "own": False}
    assert (cut["low_ms"], cut["siblings_high_ms"]) == (whole["low_ms"], whole["siblings_high_ms"])


def test_places_of_faults_are_told_in_seconds_of_the_log(stocked: Workbench) -> None:
    fault = Fault(
        kind="hitches", title="More hitches", severity=Severity.NOTE, evidence="", todo="",
        places=(Place(from_s=2.0, to_s=3.0),),
    )  # fmt: skip
    (moved,) = in_the_log([fault], 1.5)
    assert moved.places == (Place(from_s=3.5, to_s=4.5),)
