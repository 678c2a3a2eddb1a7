"""What a change did over all tests: one number, by boots, with what two bench days cannot exclude."""

import math

import pytest
from tests.findings.bench import around, cell

from evenhand.findings.bridges import Period
from evenhand.findings.common_shift import common_shift
from evenhand.findings.finding import Outcome
from evenhand.findings.sums import BY_BOOTS
from evenhand.records.studies import Study


def periods(*shifts):
    tests = tuple(f"test-{i}" for i in range(len(shifts)))
    old = Period(name="old", cells=tuple(cell("anchor", around(4.0), test=t) for t in tests))
    new = Period(
        name="new",
        cells=tuple(cell("anchor", around(4.0 + s), test=t) for t, s in zip(tests, shifts, strict=True)),
    )
    return old, new, Study(key="s", title="S", setups=("anchor",), tests=tests)


def test_it_is_the_mean_of_the_tests_shifts_had_by_boots():
    old, new, study = periods(0.02, 0.06)
    found = common_shift("anchor", old=old, new=new, study=study)
    assert math.log(found.ratio) == pytest.approx(0.04)
    assert (found.method, found.outcome) == (BY_BOOTS, Outcome.AHEAD)
    assert "not-interleaved" in {c.key for c in found.caveats}


def test_a_shift_within_what_two_days_may_differ_is_not_called():
    old, new, study = periods(0.012, 0.012)
    assert common_shift("anchor", old=old, new=new, study=study).outcome is Outcome.UNSETTLED


def test_one_test_has_no_common_shift():
    old, new, study = periods(0.02)
    assert common_shift("anchor", old=old, new=new, study=study) is None


def test_an_anchor_that_was_not_run_again_has_none():
    old, new, study = periods(0.02, 0.03)
    assert common_shift("somebody", old=old, new=new, study=study) is None
