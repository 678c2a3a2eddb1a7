"""A rig keeps the workbench's time, whatever its own clock does."""

from __future__ import annotations

import time
from datetime import UTC, datetime, timedelta

import pytest

from evenhand.rig import clock as room
from evenhand.rig.clock import Clock

TOLD = datetime(2031, 5, 4, 10, 0, tzinfo=UTC)


def at(seconds: float, monkeypatch: pytest.MonkeyPatch) -> None:
    """So many seconds have passed."""
    monkeypatch.setattr(time, "monotonic", lambda: seconds)


def test_it_counts_on_from_the_middle_of_question_and_answer(monkeypatch: pytest.MonkeyPatch) -> None:
    clock = Clock()
    clock.set(TOLD, asked=100.0, answered=102.0)
    at(161.0, monkeypatch)
    assert clock.now() == TOLD + timedelta(seconds=60)


@pytest.mark.parametrize("step", [timedelta(hours=1), timedelta(hours=-1), timedelta(days=3650)])
def test_a_clock_that_is_wrong_or_put_to_summer_time_meanwhile_does_no_harm(
    step: timedelta, monkeypatch: pytest.MonkeyPatch
) -> None:
    class Stepped(datetime):
        @classmethod
        def now(cls, tz: object = None) -> datetime:  # type: ignore[override]
            return TOLD + step

    clock = Clock()
    clock.set(TOLD, asked=100.0, answered=100.0)
    monkeypatch.setattr(room, "datetime", Stepped)
    at(110.0, monkeypatch)
    assert clock.now() == TOLD + timedelta(seconds=10)


def test_another_zone_is_the_same_moment(monkeypatch: pytest.MonkeyPatch) -> None:
    clock = Clock()
    clock.set(datetime.fromisoformat("2031-05-04T12:00:00+02:00"), asked=0.0, answered=0.0)
    at(0.0, monkeypatch)
    assert clock.now() == TOLD
    assert clock.now().tzinfo is UTC
