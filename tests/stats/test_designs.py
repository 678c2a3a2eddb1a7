"""Factors on record: what can be told apart, what is one bundle."""

import pytest

from evenhand.stats.designs import (
    Change,
    Design,
    bundles,
    changes_between,
    is_direct,
    is_estimable,
)


def design(*rows, factors=("processor", "board", "graphics")):
    return Design(factors=factors, rows=rows)


def names(groups):
    return [[change.factor for change in group] for group in groups]


def between(made, low=0, high=-1):
    return changes_between(made, made.rows[low], made.rows[high])


def test_two_machines_with_nothing_in_common_are_one_bundle():
    made = design(("p0", "b0", "g0"), ("p1", "b1", "g1"))
    assert names(bundles(made, between(made))) == [["processor", "board", "graphics"]]
    assert not any(is_estimable(made, [change]) for change in between(made))
    assert is_estimable(made, between(made))


def test_one_swap_frees_the_swapped_part_and_leaves_the_rest_a_bundle():
    made = design(("p0", "b0", "g0"), ("p0", "b0", "g1"), ("p1", "b1", "g1"))
    assert names(bundles(made, between(made))) == [["processor", "board"], ["graphics"]]


def test_a_full_swap_of_two_parts_tells_both_apart():
    made = design(("p0", "g0"), ("p1", "g0"), ("p0", "g1"), ("p1", "g1"), factors=("processor", "graphics"))
    assert names(bundles(made, between(made))) == [["processor"], ["graphics"]]
    assert all(is_direct(made, change) for change in between(made))


def test_an_effect_may_be_known_only_because_effects_add_up():
    rows = (("p0", "b0", "g0"), ("p1", "b1", "g0"), ("p1", "b0", "g1"), ("p0", "b1", "g1"))
    made = design(*rows)
    processor = Change(factor="processor", low="p0", high="p1")
    assert is_estimable(made, [processor])
    assert not is_direct(made, processor)


def test_levels_that_were_never_linked_cannot_be_told_apart():
    made = design(("p0", "b0", "g0"), ("p1", "b1", "g1"))
    unseen = Change(factor="graphics", low="g0", high="g9")
    assert not is_estimable(made, [unseen])


def test_a_third_level_may_be_known_against_the_second_but_not_the_first():
    rows = (("p0", "b0"), ("p1", "b1"), ("p2", "b1"))
    made = design(*rows, factors=("processor", "board"))
    assert is_estimable(made, [Change(factor="processor", low="p1", high="p2")])
    assert not is_estimable(made, [Change(factor="processor", low="p0", high="p2")])


@pytest.mark.parametrize("turn", [1, -1])
def test_a_change_is_as_well_known_backwards(turn):
    made = design(*(("p0", "b0", "g0"), ("p0", "b0", "g1"), ("p1", "b1", "g1"))[::turn])
    assert names(bundles(made, between(made))) == [["processor", "board"], ["graphics"]]
