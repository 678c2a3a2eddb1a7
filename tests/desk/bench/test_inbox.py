"""What waits in the inbox is told with why, with what it seems to hold, and with the run it likely is."""

from __future__ import annotations

import pytest
from tests.desk.landing_cases import come_in, filing, log
from tests.desk.small_folder import LATER, day_log

from evenhand.desk.bench.inbox import NOBODY_SAID, count_waiting, inbox, one_waiting
from evenhand.desk.bench.landing import land
from evenhand.errors import BadRecord, NotFound
from evenhand.records.layouts import LogKind
from evenhand.store.workbench import Workbench

NEW_HEADER = "time [s],frame time [ms]"


def test_nothing_waits_at_first(stocked: Workbench) -> None:
    assert inbox(stocked) == ()


def test_a_log_of_a_known_header_waits_with_its_confirmed_columns(stocked: Workbench) -> None:
    come_in(stocked, log(), "somewhere.csv")
    (waiting,) = inbox(stocked)
    assert waiting.why == NOBODY_SAID
    assert waiting.look.known is not None
    assert waiting.look.kind is LogKind.FRAMES
    assert waiting.proposal.test is None


def test_a_log_of_a_new_header_waits_with_a_guess_and_its_reason_for_every_column(stocked: Workbench) -> None:
    came = come_in(stocked, log(header=NEW_HEADER), "wren-causeway.csv")
    with pytest.raises(BadRecord):
        land(stocked, came, filing(), by="folder", now=LATER)
    (waiting,) = inbox(stocked)
    assert "nobody has confirmed what its columns are" in waiting.why
    assert waiting.look.known is None
    assert waiting.look.question is not None
    assert [(c.role, bool(c.reason)) for c in waiting.look.question.columns] == [
        ("elapsed time", True),
        ("frame time", True),
    ]
    assert (waiting.proposal.test, waiting.proposal.setup) == ("causeway", "wren")


def test_what_is_no_log_says_why(stocked: Workbench) -> None:
    come_in(stocked, b"Dear all,\nthe bench is booked on Friday.\n", "booking.txt")
    (waiting,) = inbox(stocked)
    assert waiting.look.question is None
    assert "no row of numbers" in waiting.look.trouble


def test_a_sensor_log_is_proposed_as_no_run(stocked: Workbench) -> None:
    come_in(stocked, day_log(hot_from_s=9e9, hours=0.1), "wren-causeway.csv")
    (waiting,) = inbox(stocked)
    assert waiting.look.kind is LogKind.SENSORS
    assert (waiting.proposal.test, waiting.proposal.sure) == (None, False)


def test_the_newest_stand_first_and_only_as_many_as_are_asked_for(stocked: Workbench) -> None:
    numbers = [come_in(stocked, log(seed), f"{seed}.csv").id for seed in range(3)]
    assert [waiting.arrival.id for waiting in inbox(stocked, most=2)] == [numbers[2], numbers[1]]
    assert count_waiting(stocked) == 3


def test_one_that_never_came_is_not_found(stocked: Workbench) -> None:
    with pytest.raises(NotFound):
        one_waiting(stocked, 99)
