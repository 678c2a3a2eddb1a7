"""Watts on top, work for a joule and the mean elasticity of tests, held against reckoning by hand."""

import math
from dataclasses import replace

import pytest
from tests.findings.bench import around, cell

from evenhand.findings.compare import compare_study
from evenhand.findings.scaling import Slope
from evenhand.findings.tuned import added_watts, mean_elasticity, work_per_joule
from evenhand.records.studies import Study
from evenhand.tuning.bands import Band


def slope(value, half=0.1, test="quay"):
    return Slope(
        test=test, setting="processor clock", value=value, low=value - half, high=value + half,
        cells=("a", "b"), runs=8,
    )  # fmt: skip


def finding(mean, sd=0.002, better="higher"):
    """Tuned over stock, whose mean log is 0."""
    study = Study(key="s", title="S", setups=("tuned", "stock"), tests=("quay",))
    both = [
        cell("tuned", around(mean, sd), better=better),
        cell("stock", around(0.0, sd), place=1, better=better),
    ]
    return compare_study(both, study=study).findings[0]


def test_the_mean_of_tests_is_as_unsure_as_they_are_on_average():
    found = mean_elasticity([slope(0.5, 0.1), slope(0.7, 0.3)])
    assert found.value == pytest.approx(0.6)
    assert found.sd == pytest.approx(0.2 / 1.96, rel=1e-3)


def test_a_single_run_and_one_surely_above_one_tell_none():
    single = replace(slope(0.5), low=None, high=None)
    assert mean_elasticity([single, slope(1.6)]) is None
    assert mean_elasticity([single, slope(1.6), slope(0.4)]).value == pytest.approx(0.4)


def test_watts_on_top_are_the_difference_of_means_with_the_error_of_the_ratio():
    found = finding(math.log(1.12), better="lower")
    added = added_watts(found, 200.0, 224.0)
    assert isinstance(added, Band)
    assert added.value == pytest.approx(24.0)
    assert added.half == pytest.approx(212.0 * math.log(found.high / found.low) / 2)


def test_without_an_interval_watts_are_a_bare_number():
    alone = replace(finding(math.log(1.12), better="lower"), low=None, high=None)
    assert added_watts(alone, 200.0, 224.0) == pytest.approx(24.0)


def test_work_for_a_joule_is_the_gain_by_the_watts_with_both_errors():
    gain, watts = finding(math.log(1.05)), finding(math.log(1.12), 0.003, better="lower")
    found = work_per_joule(gain, watts)
    assert found.value == pytest.approx(1.05 / 1.12)
    by_hand = math.hypot(math.log(gain.high / gain.low) / 2, math.log(watts.high / watts.low) / 2)
    assert math.log(found.high / found.low) / 2 == pytest.approx(by_hand)


def test_watts_of_other_tests_tell_no_work_for_a_joule():
    gain, watts = finding(math.log(1.05)), finding(math.log(1.12), better="lower")
    assert work_per_joule(gain, replace(watts, test="mole")) is None
    assert work_per_joule(gain, replace(watts, low=None)) is None
