"""The programme of goals counts what it says it counts."""

import math

import numpy as np
import pytest
from validation.studies import World, simulate

from evenhand.findings.compare import compare_study
from evenhand.findings.finding import Outcome
from validation import goals

STILL = World(run_sd=1e-9, tests=4)


def seen(world, seed=1):
    made = simulate(world, np.random.default_rng(seed))
    return made, compare_study(made.cells, study=made.study)


def test_without_noise_the_comparison_finds_the_truth():
    made, found = seen(STILL)
    for f in found.findings:
        assert math.log(f.ratio) == pytest.approx(made.truth[f.a, f.test] - made.truth[f.b, f.test], abs=1e-7)


def test_a_study_at_the_margin_is_just_at_the_margin():
    made, found = seen(World(run_sd=1e-9, effects="margin"))
    assert {round(abs(math.log(f.ratio)), 6) for f in found.findings} == {round(math.log(1.03), 6)}
    assert goals.called_level(made, found)[1] == 9


@pytest.mark.parametrize(
    ("design", "caveats"),
    [
        ("blocks", set()),
        ("boots", set()),
        ("unplaced", {"boots-unknown", "order-unknown", "allowance"}),
        ("one boot", {"one-boot", "not-interleaved", "allowance"}),
    ],
)
def test_each_design_leaves_the_record_it_names(design, caveats):
    _, found = seen(World(design=design, effects="none"))
    assert {c.key for f in found.findings for c in f.caveats} - {
        "ahead-withheld",
        "unequal-spread",
    } == caveats


def test_an_interval_moved_off_the_truth_is_counted_as_a_miss():
    made, found = seen(STILL)
    assert goals.covered(made, found) == (4.0, 4.0)
    shifted = {k: v + (0.1 if k[0] == "setup-0" else 0.0) for k, v in made.truth.items()}
    moved = type(made)(study=made.study, cells=made.cells, truth=shifted, sds=made.sds, logs=made.logs)
    assert goals.covered(moved, found) == (0.0, 4.0)
    assert goals.index_covered(moved, found) == (0.0, 1.0)


def test_claims_of_a_difference_are_counted_by_study():
    made, found = seen(World(run_sd=1e-6, effects="margin", boot_allowance=0.0))
    assert any(f.outcome is not Outcome.LEVEL for f in found.findings)
    assert goals.false_ahead(made, found) == (1.0, 1.0)
    assert goals.false_ahead(*seen(World(run_sd=1e-6, effects="none"))) == (0.0, 1.0)


def test_one_chunk_counts_the_same_whoever_works_on_it():
    assert goals.run_chunk(0, 3, 2, 7) == goals.run_chunk(0, 3, 2, 7)
    assert goals.run_chunk(0, 3, 2, 7) != goals.run_chunk(0, 4, 2, 7)


def test_figures_carry_their_error_over_studies():
    tally = goals.Tally()
    tally.add([(9.0, 10.0)] * 50 + [(8.0, 10.0)] * 50)
    figure, error = tally.figure()
    assert figure == pytest.approx(0.85)
    assert error == pytest.approx(0.05 / math.sqrt(100))


def test_every_goal_has_a_name_of_its_own():
    names = [g.what for g in goals.goals()]
    assert len(names) == len(set(names))
