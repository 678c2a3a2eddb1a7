"""Level first, then ahead or behind, else unsettled: the whole decision as a table of cases."""

import math

import pytest

from evenhand.findings.finding import Outcome
from evenhand.findings.outcomes import Evidence, decide, is_measurable

MARGIN = math.log1p(0.03)
A, B, L, U = Outcome.AHEAD, Outcome.BEHIND, Outcome.LEVEL, Outcome.UNSETTLED

CASES = [
    # effect  half_90  p      allowance  outcome
    (0.000, 0.010, 0.900, 0.00, L),
    (0.012, 0.010, 0.001, 0.00, L),  # measurable, and still too small to matter
    (-0.012, 0.010, 0.001, 0.00, L),
    (0.020, 0.010, 0.001, 0.00, A),  # the interval leaves the band
    (-0.020, 0.010, 0.001, 0.00, B),
    (0.020, 0.010, 0.031, 0.00, U),
    (0.100, 0.010, 0.029, 0.00, A),
    (0.100, 0.010, 0.030, 0.00, U),
    (0.000, 0.040, 0.900, 0.00, U),  # nothing seen, and not enough to call it level
    (0.000, 0.010, 0.900, 0.02, U),  # a shared error could carry it out of the band
    (0.000, 0.005, 0.900, 0.02, L),
    (0.012, 0.010, 0.001, 0.01, A),  # p already stands against the allowance
    (0.000, 0.040, 0.001, 0.00, U),  # no difference is neither ahead nor behind
    (0.100, None, 0.001, 0.00, U),
    (0.100, 0.010, None, 0.00, U),
]


@pytest.mark.parametrize(("effect", "half", "p", "allowance", "outcome"), CASES)
def test_the_table_of_cases(effect, half, p, allowance, outcome):
    evidence = Evidence(effect=effect, half_90=half, p=p, allowance=allowance)
    assert decide(evidence, margin=MARGIN) is outcome


@pytest.mark.parametrize(("effect", "half", "p", "allowance", "outcome"), CASES)
def test_turning_the_effect_turns_the_outcome(effect, half, p, allowance, outcome):
    turned = {A: B, B: A}.get(outcome, outcome)
    evidence = Evidence(effect=-effect, half_90=half, p=p, allowance=allowance)
    assert decide(evidence, margin=MARGIN) is turned


def test_the_band_is_even_in_logs():
    up, down = math.log(1.03) - 0.01, math.log(1 / 1.03) + 0.01
    for effect in (up, down):
        inside = Evidence(effect=effect * 0.999, half_90=0.01, p=1.0)
        outside = Evidence(effect=effect * 1.001, half_90=0.01, p=1.0)
        assert (decide(inside, margin=MARGIN), decide(outside, margin=MARGIN)) == (L, U)


def test_only_a_level_pair_is_level_measurably():
    assert is_measurable(L, 0.01)
    assert not is_measurable(L, 0.2)
    assert not is_measurable(A, 0.01)
    assert not is_measurable(L, None)
