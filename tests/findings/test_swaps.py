"""Which swaps would tell parts apart, how many runs they need, and how long that takes."""

import math
from dataclasses import replace

import pytest
from tests.findings.bench import machine

from evenhand.findings.factors import factors_of
from evenhand.findings.swaps import Effort, swaps_that_separate
from evenhand.plans.laying import Pace
from evenhand.plans.power import Scatter, runs_to_see
from evenhand.stats.designs import changes_between

TWO = [machine("wren", "p0", "b0", "g0"), machine("plover", "p1", "b1", "g1")]
EFFORT = Effort(
    scatters={"quay": Scatter(sd=0.01, lent_df=3.0)}, margin=math.log(1.03), minutes={"quay": 5.0},
    pace=Pace(warm_up=2.0, reboot=4.0),
)  # fmt: skip


def plan(machines, *names, effort=EFFORT, apart=()):
    factors = factors_of(machines)
    changes = changes_between(factors.design, factors.row("wren"), factors.row("plover"))
    wanted = [change for change in changes if not names or change.factor in names]
    return swaps_that_separate(factors, wanted, effort=effort, apart=apart)


def test_graphics_alone_need_one_swap_told_as_a_build_with_one_part_exchanged():
    (swap,) = plan(TWO, "graphics").swaps
    assert [(c.factor, c.low, c.high) for c in swap.exchanged] == [("graphics", "g0", "g1")]
    assert (swap.like, swap.levels["processor"]) == ("wren", "p0")


def test_three_parts_need_two():
    assert len(plan(TWO).swaps) == 2


def test_a_processor_tied_to_its_board_cannot_be_told_from_it_and_that_is_sure():
    tied = (("p0", "b1"), ("p1", "b0"))
    found = plan(TWO, "processor", apart=tied)
    assert (found.swaps, found.complete) == (None, True)
    assert len(plan(TWO, "graphics", apart=tied).swaps) == 1


def test_runs_are_those_of_two_setups_where_the_effect_is_a_difference_of_two():
    found = plan([machine("wren", "p0", "b0", "g0"), machine("plover", "p1", "b0", "g1")], "graphics")
    n = runs_to_see(math.log(1.03), Scatter(sd=0.01, lent_df=3.0), alpha=0.03)
    assert found.runs == {"quay": n}
    assert found.minutes == pytest.approx(n * (5 + 2) + n * 4)


def test_a_difference_too_small_for_sixty_runs_has_no_minutes():
    effort = Effort(scatters={"quay": Scatter(sd=0.2)}, margin=math.log(1.03))
    found = plan(TWO, "graphics", effort=effort)
    assert (found.runs, found.minutes) == ({"quay": None}, None)


def test_what_is_known_needs_no_swap_and_no_minutes():
    swapped = [*TWO, machine("lapwing", "p0", "b0", "g1")]
    found = plan(swapped, "graphics")
    assert (found.swaps, found.minutes) == ((), 0.0)


def test_new_setups_are_to_be_measured_as_most_on_record_were():
    stamped = [
        machine("wren", "p0", "b0", "g0", stamps={"driver": "1"}),
        machine("plover", "p1", "b1", "g1", stamps={"driver": "2"}),
        machine("lapwing", "p1", "b1", "g0", stamps={"driver": "2"}),
    ]
    found = plan(stamped, "graphics")
    assert (found.swaps, found.held) == ((), {"driver": "2"})
    freed = plan(stamped, "processor", "board")
    assert all(swap.levels["driver"] == "2" for swap in freed.swaps)


def test_values_with_commas_stay_whole_and_each_is_told_under_its_own_name():
    first, second = "6,000 MT/s, 30-36-36", "5,600 MT/s, 36-36-36"
    stamped = [
        machine("wren", "p0", "b0", "g0", stamps={"driver": "1", "memory and fans": first}),
        machine("plover", "p0", "b0", "g1", stamps={"driver": "2", "memory and fans": second}),
    ]
    found = plan(stamped, "graphics")
    assert found.held == {"driver": "1", "memory and fans": first}
    (swap,) = found.swaps
    told = [(c.factor, c.low, c.high) for c in swap.exchanged]
    assert told == [("driver", "2", "1"), ("memory and fans", second, first)]
    assert swap.levels["memory and fans"] == first


def test_one_test_alone_needs_fewer_runs_than_many_and_the_quickest_is_named():
    scatters = dict.fromkeys(("quay", "mole"), Scatter(sd=0.01, lent_df=3.0))
    several = replace(EFFORT, scatters=scatters, minutes={"quay": 12.0, "mole": 3.0})
    alone = plan(TWO, effort=replace(several, scatters={"mole": scatters["mole"]}))
    found = plan(TWO, effort=several)
    assert found.quickest.test == "mole"
    assert found.quickest.runs == alone.runs["mole"] <= found.runs["mole"]
    assert found.quickest.minutes == alone.minutes
    assert alone.quickest is None


def test_another_driver_is_installed_before_a_part_is_exchanged():
    """Under the driver of the first, the second is the setup that is lacking."""
    machines = [
        machine("wren", "p0", "b0", "g0", stamps={"driver": "1"}),
        machine("plover", "p0", "b0", "g1", stamps={"driver": "2"}),
    ]
    (swap,) = plan(machines, "graphics").swaps
    assert swap.like == "plover"
    assert [(c.factor, c.low, c.high) for c in swap.exchanged] == [("driver", "2", "1")]
