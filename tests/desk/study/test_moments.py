"""Moments by one clock: starts stamped in other zones stand beside each other, each with its own stamp."""

from __future__ import annotations

import os
import time
from collections.abc import Iterator
from datetime import datetime, timedelta, timezone

import pytest

from evenhand.desk.opening import own_clock
from evenhand.desk.study.moments import begun_words, clock_words

UTC_1 = timezone(timedelta(hours=1))


def by_one_clock(at: datetime) -> datetime:
    return at.astimezone(UTC_1)


def stamped(text: str) -> datetime:
    return datetime.fromisoformat(text)


@pytest.fixture
def summer_time() -> Iterator[None]:
    """This computer in a zone with summer time, written out so that no zone files are needed."""
    if not hasattr(time, "tzset"):
        pytest.skip("the zone of this computer cannot be set from within")
    before = os.environ.get("TZ")
    os.environ["TZ"] = "WET0WEST,M3.5.0/1,M10.5.0/2"
    time.tzset()
    yield
    os.environ.pop("TZ")
    if before is not None:
        os.environ["TZ"] = before
    time.tzset()


@pytest.mark.parametrize(
    ("at", "said"),
    [
        ("2031-11-02T15:31+01:00", "2\N{NO-BREAK SPACE}Nov 15:31"),
        ("2031-11-02T16:31+02:00", "2\N{NO-BREAK SPACE}Nov 15:31 (stamped 16:31 UTC+02:00)"),
        ("2031-11-02T14:31+00:00", "2\N{NO-BREAK SPACE}Nov 15:31 (stamped 14:31 UTC)"),
        (
            "2031-11-03T00:01+09:30",
            "2\N{NO-BREAK SPACE}Nov 15:31 (stamped 3\N{NO-BREAK SPACE}Nov 00:01 UTC+09:30)",
        ),
    ],
)
def test_a_start_is_told_by_one_clock_and_as_stamped_where_that_differs(at: str, said: str) -> None:
    assert begun_words(stamped(at), by_one_clock) == said


def test_a_clock_is_named_by_its_offset_and_by_both_across_summer_time(summer_time: None) -> None:
    winter, summer = stamped("2031-01-10T12:00+09:00"), stamped("2031-07-10T12:00+09:00")
    assert clock_words([winter], own_clock) == "Times are by this computer’s clock, UTC."
    assert (
        clock_words([summer, winter], own_clock) == "Times are by this computer’s clock, UTC and UTC+01:00."
    )
    assert begun_words(summer, own_clock).startswith(
        "10\N{NO-BREAK SPACE}Jul 04:00 (stamped 12:00 UTC+09:00)"
    )


def test_no_times_name_no_clock() -> None:
    assert clock_words([], by_one_clock) == ""
