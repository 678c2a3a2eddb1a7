"""Hours by room: whole degrees, neighbours together where there are many, those not read by themselves."""

from __future__ import annotations

from tests.tuning.test_claims import trial

from evenhand.records.trials import Outcome
from evenhand.tuning.rooms import hours_by_room


def test_hours_and_failures_are_summed_by_whole_degrees() -> None:
    found = hours_by_room(
        [trial(2.0, room=23.6), trial(1.0, Outcome.CRASH, room=24.4), trial(4.0, room=22.0)], most=3
    )
    assert [(room.low_c, room.hours, room.failures) for room in found] == [(22, 4.0, 0), (24, 3.0, 1)]


def test_many_degrees_are_taken_together_and_no_hour_is_lost() -> None:
    found = hours_by_room([trial(1.0, room=18.0 + n) for n in range(10)], most=3)
    assert [(room.low_c, room.high_c) for room in found] == [(18, 21), (22, 25), (26, 27)]
    assert sum(room.hours for room in found) == 10.0


def test_rooms_that_nobody_read_stand_by_themselves() -> None:
    found = hours_by_room([trial(1.0, room=None), trial(2.0, Outcome.CRASH)], most=3)
    assert (found[-1].low_c, found[-1].high_c, found[-1].hours) == (None, None, 1.0)
    assert hours_by_room([], most=3) == ()
