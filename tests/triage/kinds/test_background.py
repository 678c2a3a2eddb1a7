"""Other programs at work: more than in every sibling, or in a burst that none of them has."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from tests.triage.cells import Floats, cell, judge, kinds, only, plain
from tests.triage.sensed import SECONDS, channel

from evenhand.records.faults import Fault, Severity
from evenhand.records.layouts import Role
from evenhand.traces.trace import SensorLog


def taken(share_pct: float | Floats, name: str = "other programs", *, seed: int = 1) -> SensorLog:
    values = np.broadcast_to(share_pct, SECONDS) + np.random.default_rng(seed).uniform(0, 1, SECONDS)
    return SensorLog(time_s=np.arange(float(SECONDS)), channels=(channel(Role.LOAD, values, name, "%"),))


def judged(*logs: SensorLog | None) -> dict[str, tuple[Fault, ...]]:
    return judge([replace(r, sensors=log) for r, log in zip(cell(len(logs)), logs, strict=True)])


def busy(*logs: SensorLog | None) -> set[str]:
    """Ids of runs in which other programs were at work."""
    return {run for run, faults in judged(*logs).items() if "background-load" in kinds(faults)}


def scanned(from_s: int, to_s: int) -> Floats:
    at = np.arange(SECONDS)
    return np.where((at >= from_s) & (at < to_s), 45.0, 1.0)


def test_more_than_every_sibling_is_told_with_theirs() -> None:
    fault = only(judged(taken(9), taken(1), taken(2))["1"], "background-load")
    assert fault.severity is Severity.IN_DOUBT
    assert plain(fault.evidence).startswith(
        "Other programs took 9.5 % of the machine on average (its siblings: 1.5 to 2.5 %), and 10 % at"
    )


def test_a_burst_that_no_sibling_has_is_placed() -> None:
    fault = only(judged(taken(scanned(40, 46)), taken(1), taken(1))["1"], "background-load")
    (place,) = fault.places
    assert place.from_s == pytest.approx(40, abs=3)
    assert place.to_s == pytest.approx(46, abs=3)


def test_a_burst_is_told_with_when_it_began() -> None:
    found = judged(taken(scanned(35, 55)), taken(1.0, seed=2), taken(1.0, seed=3))
    told = plain(only(found["1"], "background-load").evidence)
    assert told.endswith("; 1 burst of more than three seconds, it began at 35.0 s.")


def test_what_all_runs_have_is_no_fault_of_one() -> None:
    assert busy(taken(9.0), taken(8.0), taken(9.0)) == set()
    assert busy(*(taken(scanned(40, 46)) for _ in range(3))) == set()


def test_the_load_of_the_machine_less_that_of_the_test_is_the_rest() -> None:
    def rest(own: float) -> SensorLog:
        rng = np.random.default_rng(1)
        return SensorLog(
            time_s=np.arange(float(SECONDS)),
            channels=(
                channel(Role.LOAD, 60 + rng.uniform(0, 1, SECONDS), "processor", "%"),
                channel(Role.LOAD, np.full(SECONDS, own), "test program", "%"),
            ),
        )

    assert busy(rest(45.0), rest(58.0), rest(58.0)) == {"1"}


def test_alone_it_is_only_told() -> None:
    (run,) = cell(1)
    fault = only(judge([replace(run, sensors=taken(22.0))])["1"], "background-load")
    assert fault.severity is Severity.NOTE


def test_a_layout_that_names_no_other_programs_tells_nothing() -> None:
    assert busy(taken(60.0, "processor"), taken(1.0, "processor"), taken(1.0, "processor")) == set()


def test_runs_without_sensors_are_no_witnesses() -> None:
    assert busy(taken(9.0), None, None) == set()


def test_a_burst_is_placed_from_its_first_reading_to_the_first_after_it() -> None:
    fault = only(judged(taken(scanned(40, 52)), taken(1), taken(1))["1"], "background-load")
    (place,) = fault.places
    assert (place.from_s, place.to_s) == (40.0, 52.0)
