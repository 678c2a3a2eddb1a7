"""Every number has one definition, and another definition is another key."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from evenhand.errors import BadRecord, NotFound
from evenhand.metrics.definitions import (
    DEFINITIONS,
    NAMED_BUDGETS_MS,
    budget_key,
    budget_of,
    definition,
)


def test_the_table_names_each_definition_by_its_own_key() -> None:
    assert all(key == d.key for key, d in DEFINITIONS.items())
    assert len({d.label for d in DEFINITIONS.values()}) == len(DEFINITIONS)
    assert len({d.meaning for d in DEFINITIONS.values()}) == len(DEFINITIONS)


@pytest.mark.parametrize("key", sorted(DEFINITIONS))
def test_a_meaning_is_one_sentence(key: str) -> None:
    meaning = DEFINITIONS[key].meaning
    assert meaning.endswith(".")
    assert ". " not in meaning
    assert DEFINITIONS[key].better in ("higher", "lower", "")


def test_only_numbers_that_repeat_well_are_ranked() -> None:
    ranked = {d.key for d in DEFINITIONS.values() if d.rankable}
    assert ranked == {"average_fps", "low_1pct", "score", "wall_w", "joules_per_frame"}


def test_a_misspelt_key_is_answered_with_the_nearest() -> None:
    with pytest.raises(NotFound, match="did you mean 'average_fps'"):
        definition("averagefps")


def test_a_budget_near_a_common_one_is_another_definition() -> None:
    assert budget_key(1000 / 60) == "over_16_7_ms_pct"
    assert budget_key(16.7) != budget_key(1000 / 60)
    assert definition(budget_key(16.7)) != definition(budget_key(1000 / 60))


@given(st.floats(0.001, 5000.0))
def test_a_budget_key_states_the_budget(budget_ms: float) -> None:
    key = budget_key(budget_ms)
    exact = budget_of(key)
    assert exact is not None
    assert exact == pytest.approx(budget_ms, abs=0.0005001)
    assert budget_key(exact) == key or key in NAMED_BUDGETS_MS
    assert definition(key).key == key


@pytest.mark.parametrize("budget_ms", [0.0, -1.0, math.nan, math.inf, 0.0001])
def test_a_budget_must_be_a_length_of_time(budget_ms: float) -> None:
    with pytest.raises(BadRecord):
        budget_key(budget_ms)
