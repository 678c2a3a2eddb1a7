"""The log that tells most is believed, of several the last; where another one settled is held against it."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from tests.tuning.heated import CASE, COOLER, ROOM, log_of, seconds, truth

from evenhand.publish.tuning.heat_logs import passed_over_words
from evenhand.tuning.heat_choice import LACKS, lacking, most_telling, settled
from evenhand.tuning.heat_doubts import Doubt, doubts
from evenhand.tuning.heat_log import heat_log
from evenhand.tuning.network import Stage
from evenhand.tuning.network_fit import Fit, fit_network

STEPS = fit_network(log_of(COOLER, CASE))


def one_power(watts: float = 150.0, *, minutes: float = 60, room: float = ROOM, off_c: float = 0.0) -> Fit:
    """The same part at one power from cold on; `off_c` warmer than its network makes it."""
    time = seconds(minutes)
    bare = heat_log(time, np.zeros(time.size), np.full(time.size, watts))
    begun = truth(time, bare.watts, (COOLER, CASE), room=room)
    rise = (begun[-1] - room) * (1 - np.exp(-time / 100.0))
    noise = 0.5 * np.random.default_rng(2).standard_normal(time.size)
    return fit_network(heat_log(time, np.round(room + rise + noise + off_c), bare.watts, room))


def test_one_power_does_not_take_the_place_of_steps_and_neither_do_fewer_things_told() -> None:
    constant, short = one_power(), fit_network(log_of(COOLER, CASE, minutes=15))
    unread = fit_network(log_of(COOLER, CASE, room=None))
    told = [doubts(each) for each in (constant, short, unread, STEPS)]
    assert most_telling(told) == 3
    assert [lacking(each, told[3]) for each in told] == [
        Doubt.POWER_CONSTANT, Doubt.TOO_SHORT, Doubt.ROOM_UNKNOWN, None,
    ]  # fmt: skip


def test_of_those_that_tell_as_much_it_is_the_first_that_is_named() -> None:
    assert most_telling([(Doubt.NOT_HELD,), (), (Doubt.GAP_CARRIED,)]) == 0
    assert most_telling([(Doubt.TOO_SHORT,), (Doubt.HARDLY_KNOWN,), (Doubt.HARDLY_KNOWN,)]) == 1


@pytest.mark.parametrize("lack", LACKS)
def test_each_lack_alone_passes_a_log_over(lack: Doubt) -> None:
    assert most_telling([(lack,), (Doubt.NOT_HELD,)]) == 1
    assert lacking((lack, Doubt.NOT_HELD), ()) is lack
    assert passed_over_words(lack, 7).endswith(": log 7 tells more")


def test_where_one_power_settled_is_held_against_the_network_of_steps() -> None:
    found = settled(one_power(150.0, room=26.0), STEPS)
    assert found is not None
    assert found.watts == pytest.approx(150.0)
    assert found.room_c == 26.0
    assert found.says.value == pytest.approx(26.0 + 0.37 * 150.0, abs=1.0)
    assert found.temperature_c == pytest.approx(found.says.value, abs=1.0)
    assert not found.differs
    warmer = settled(one_power(150.0, room=26.0, off_c=4.0), STEPS)
    assert warmer is not None
    assert warmer.differs


def test_what_was_not_held_for_long_or_has_no_room_settled_nowhere() -> None:
    assert settled(one_power(minutes=20), STEPS) is None, "three times 700 s are 35 minutes"
    bare = replace(STEPS.log, room_c=None)
    assert settled(replace(STEPS, log=bare), STEPS) is None
    assert settled(one_power(), replace(STEPS, log=bare)) is None
    quick = fit_network(log_of(Stage(c_per_w=0.37, seconds=100.0)))
    assert settled(one_power(minutes=20), quick) is not None
