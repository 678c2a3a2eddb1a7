"""Sums judged as effects by the rules of any finding."""

import math

import pytest
from tests.findings.bench import around, cell

from evenhand.findings.compare import compare_study
from evenhand.findings.effects import effects
from evenhand.findings.finding import Outcome
from evenhand.findings.measured import Asked, measured, sums
from evenhand.records.studies import Study

MARGIN = math.log1p(0.03)


def judged(*differences, sd=0.001, runs=4):
    asked = []
    for i, d in enumerate(differences):
        cells = {
            "a": cell("a", around(4 + d, sd)[:runs], test=f"t{i}"),
            "b": cell("b", around(4, sd), test=f"t{i}", place=1),
        }
        asked.append(Asked(of=measured(cells), weights={"a": 1.0, "b": -1.0}))
    return effects(sums(asked, boot_allowance=0.01), margin=MARGIN)


def test_a_difference_of_two_setups_reads_as_in_a_comparison():
    # Not in step, or the comparison would pair its blocks.
    cells = [cell("a", around(4.05, 0.01)), cell("b", around(4.0, 0.01)[::-1], place=1)]
    (finding,) = compare_study(
        cells, study=Study(key="s", title="S", setups=("a", "b"), tests=("quay",))
    ).findings
    asked = Asked(of=measured({c.setup: c for c in cells}), weights={"a": 1.0, "b": -1.0})
    (effect,) = effects(sums([asked], boot_allowance=0.01), margin=MARGIN)
    assert effect.outcome is finding.outcome
    for name in ("ratio", "low", "high", "p", "p_holm", "bound_low", "bound_high"):
        assert getattr(effect, name) == pytest.approx(getattr(finding, name))


def test_ahead_level_and_behind():
    assert [e.outcome for e in judged(0.1, 0.0, -0.1)] == [Outcome.AHEAD, Outcome.LEVEL, Outcome.BEHIND]


def test_a_small_effect_may_be_level_and_yet_measurable():
    (effect,) = judged(0.008)
    assert (effect.outcome, effect.measurably) == (Outcome.LEVEL, True)


def test_a_single_run_has_no_part_in_the_family():
    (alone,) = judged(0.1, runs=1)
    assert (alone.outcome, alone.p, alone.p_holm) == (Outcome.UNSETTLED, None, None)


def test_p_is_adjusted_over_everything_that_is_asked():
    first, second = judged(0.01, 0.0101, sd=0.01)
    assert first.p_holm == pytest.approx(2 * second.p)
    assert second.p_holm == pytest.approx(2 * second.p)
