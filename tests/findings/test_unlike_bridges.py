"""Where a bridged test scatters unlike, an index keeps the error that all tests of a boot share."""

import math
from dataclasses import replace

import numpy as np
import pytest
from tests.findings.bench import around, cell
from tests.findings.test_crossing import STUDY, TESTS, TRUTH, joint, study_cells

from evenhand.findings.compare import compare_study
from evenhand.findings.finding import Index
from evenhand.findings.sums import BY_BOOTS
from evenhand.stats.boots import boots_of
from evenhand.stats.less_boots import less_boots
from validation import bridges as programme

WIDE = 0.03  # of one test on one side, thirty times what all else scatters by


def index_of(*, wild: bool) -> Index:
    cells = study_cells(joint("quay"))
    if wild:
        noisy = cell("tern", around(4.0 + TRUTH, WIDE), test=TESTS[0])
        cells = [replace(c, observations=noisy.observations) if c is cells[0] else c for c in cells]
    return compare_study(cells, study=STUDY).indexes[0]


def test_one_test_that_scatters_unlike_does_not_make_the_tests_independent() -> None:
    wild, calm = index_of(wild=True), index_of(wild=False)
    assert wild.method == calm.method == BY_BOOTS
    assert math.log(wild.ratio) == pytest.approx(math.log(calm.ratio))
    widths = [math.log((each.high or 0) / (each.low or 1)) for each in (wild, calm)]
    assert widths[0] > 3 * widths[1]


def test_degrees_of_freedom_follow_what_the_boots_scatter_by_where_they_scatter_unlike() -> None:
    own, beside = boots_of([[0.0], [0.2], [0.4]]), boots_of([[0.0], [0.01], [0.02], [0.03]])
    _, alike = less_boots(own, beside, at=[0])
    _, apart = less_boots(own, beside, at=[0], unlike=[True])
    v, u = 0.04 / 3, (0.0005 / 3) / 4
    assert apart.runs[0] - 1 == pytest.approx((v + u) ** 2 / (v**2 / 2 + u**2 / 3))
    assert 2.0 < apart.runs[0] - 1 < 2.1 < alike.runs[0] - 1
    assert (apart.squares == alike.squares).all()


def test_sides_without_any_scatter_are_taken_as_alike() -> None:
    still = boots_of([[0.1], [0.1], [0.1]])
    assert less_boots(still, still, at=[0], unlike=[True])[1].runs.tolist() == [5.0]


def test_where_boots_share_as_much_as_runs_scatter_the_index_keeps_its_level() -> None:
    """Every study in which chance makes a test look unlike once lost that error: 92 % held the truth."""
    world = programme.World(what="n = 5, boots share 2 %", runs=5, boot_sd=0.02)
    rng = np.random.default_rng(20)
    seen = [programme.count(world, rng) for _ in range(150)]
    held, _, wide = programme.figures(seen, programme.OF_ALL)
    assert held >= 0.93
    assert wide >= 1.03
