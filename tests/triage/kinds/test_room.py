from __future__ import annotations

from dataclasses import replace

import pytest
from tests.triage.cells import STUDY, WORK, held, judge, only, plain, scores

from evenhand.records.faults import Severity
from evenhand.triage.candidate import Company

RANGE = Company(test=WORK, study_spread=STUDY, ambient_c=(22.0, 26.0))
OPEN = Company(test=WORK, study_spread=STUDY)
RUNS = scores(4.60, 4.58, 4.62, 4.61)


def at(*temperatures: float | None) -> list:
    return [replace(r, ambient_c=t) for r, t in zip(RUNS, temperatures, strict=False)]


@pytest.mark.parametrize(("room", "found"), [(21.9, True), (22.0, False), (26.0, False), (26.1, True)])
def test_the_declared_range_holds_with_its_edges(room: float, found: bool) -> None:
    assert (held(judge(at(room, 24.0, 24.0), RANGE)) == {"1"}) is found


def test_the_sentence_names_room_and_range() -> None:
    fault = only(judge(at(29.6, 24.0, 24.0), RANGE)["1"], "room")
    assert fault.severity is Severity.IN_DOUBT
    assert fault.title == "Room warmer than the comparison allows"
    assert plain(fault.evidence) == "The room was at 29.6 °C; this study compares runs at 22.0 to 26.0 °C."


def test_one_run_alone_is_judged_by_the_range() -> None:
    assert held(judge(at(29.6), RANGE)) == {"1"}


@pytest.mark.parametrize(("room", "found"), [(28.0, False), (28.1, True), (19.9, True)])
def test_without_a_range_four_degrees_from_the_siblings_are_too_many(room: float, found: bool) -> None:
    assert (held(judge(at(room, 24.0, 23.5, 24.5), OPEN)) == {"1"}) is found


def test_of_two_rooms_nobody_can_say_which_is_odd() -> None:
    assert held(judge(at(31.0, 22.0), OPEN)) == set()


def test_a_run_without_a_temperature_is_not_judged() -> None:
    assert held(judge(at(None, 24.0, 24.0), RANGE)) == set()
