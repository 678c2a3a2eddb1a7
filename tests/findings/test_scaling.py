"""How a rate follows clocks and pixels, and what that shows of its limit."""

import math
from dataclasses import replace

import pytest
from tests.findings.bench import around, cell

from evenhand.findings.caveats import DOUBTED
from evenhand.findings.leanings import Leaning
from evenhand.findings.scaling import (
    TOGETHER,
    Point,
    doubts,
    elasticities,
    limits,
    resolution_slopes,
    tuned_gains,
)
from evenhand.publish.limit_words import gain_words
from evenhand.publish.names import Names, TestName

PARTS = {"graphics clock": "graphics", "processor clock": "processor"}


def clocked(*steps, beta=(0.9, 0.05), tests=("quay",), sd=0.001):
    """One build at several graphics and processor clocks, whose rate follows them so."""
    points = []
    for test in tests:
        for i, (g, p) in enumerate(steps):
            mean = 4.0 + beta[0] * math.log(g) + beta[1] * math.log(p)
            made = cell(f"state{i}", around(mean, sd), test=test, place=i)
            points.append(
                Point(cell=made, settings={"graphics clock": 2000 * g, "processor clock": 4000 * p})
            )
    return points


APART = ((1.0, 1.0), (1.1, 1.0), (1.0, 1.1), (1.1, 1.1))


def slopes(points, allowance=0.0):
    return {s.setting: s for s in elasticities(points, boot_allowance=allowance)}


def test_each_clock_has_its_elasticity_and_all_together_theirs():
    found = slopes(clocked(*APART))
    assert found["graphics clock"].value == pytest.approx(0.9)
    assert found["processor clock"].value == pytest.approx(0.05)
    assert found[TOGETHER].value == pytest.approx(0.95)
    assert found["graphics clock"].low < 0.9 < found["graphics clock"].high


def test_clocks_that_moved_together_are_not_told_apart():
    assert slopes(clocked((1.0, 1.0), (1.1, 1.1))) == {}


def test_a_clock_that_stood_still_has_no_elasticity():
    assert set(slopes(clocked((1.0, 1.0), (1.1, 1.0)))) == {"graphics clock"}


def test_a_gain_beyond_the_clock_doubts_the_baseline():
    found = slopes(clocked((1.0, 1.0), (1.1, 1.0), beta=(1.4, 0.0)))["graphics clock"]
    assert found.surely_above_one
    (told,) = limits(["quay"], clocks=[found], parts=PARTS)
    assert "the baseline was not what it was said to be" in told.caveats[0].told()
    assert (told.leaning, [leaning for _, leaning in told.evidence]) == (
        Leaning.NOT_SHOWN,
        [Leaning.NOT_SHOWN],
    )


def test_a_gain_as_large_as_the_clock_does_not():
    found = slopes(clocked((1.0, 1.0), (1.1, 1.0), beta=(1.0, 0.0)))["graphics clock"]
    assert not found.surely_above_one


def test_an_allowance_widens_a_small_step_more_than_a_large_one():
    def width(step):
        points = clocked((1.0, 1.0), (step, 1.0))
        lone = [Point(cell=_one_boot(p.cell), settings=p.settings) for p in points]
        found, bare = slopes(lone, 0.01)["graphics clock"], slopes(lone, 0.0)["graphics clock"]
        return (found.high - bare.high) * math.log(step)

    assert width(1.02) == pytest.approx(2 * math.log1p(0.01))
    assert width(1.2) == pytest.approx(2 * math.log1p(0.01))


def _one_boot(of):
    return replace(of, observations=tuple(replace(o, boot="one") for o in of.observations))


def pixelled(slope, sd=0.001):
    points = []
    for i, pixels in enumerate((1920 * 1080, 2560 * 1440, 3840 * 2160)):
        made = cell(f"r{i}", around(4.0 + slope * math.log(pixels / 2e6), sd), place=i)
        points.append(Point(cell=made, settings={"pixels": pixels}))
    return resolution_slopes(points, boot_allowance=0.0)


@pytest.mark.parametrize(
    ("slope", "says"), [(-0.95, Leaning.GRAPHICS), (-0.02, Leaning.PROCESSOR), (-0.4, Leaning.MIXED)]
)
def test_the_slope_over_pixels_says_what_limits(slope, says):
    found = pixelled(slope)
    assert found[0].value == pytest.approx(slope)
    (told,) = limits(["quay"], pixels=found, parts=PARTS)
    assert (told.leaning, told.evidence) == (says, ((found[0], says),))


def test_a_noisy_slope_shows_nothing():
    (told,) = limits(["quay"], pixels=pixelled(-0.5, sd=0.8), parts=PARTS)
    assert told.leaning is Leaning.NOT_SHOWN


def test_evidence_that_disagrees_is_mixed():
    clocks = elasticities(clocked(*APART), boot_allowance=0.0)
    (told,) = limits(["quay"], clocks=clocks, pixels=pixelled(-0.02), parts=PARTS)
    assert told.leaning is Leaning.MIXED


def test_a_test_without_slopes_is_not_shown():
    (told,) = limits(["never"], parts=PARTS)
    assert (told.leaning, told.evidence) == (Leaning.NOT_SHOWN, ())


def test_clocks_that_rose_together_bound_the_gain_by_the_one_that_rose_most():
    points = clocked((1.0, 1.0), (1.1, 1.05), beta=(0.6, 0.3))
    (gain,) = tuned_gains("state1", "state0", points, boot_allowance=0.0)
    expected = (0.6 * math.log(1.1) + 0.3 * math.log(1.05)) / math.log(1.1)
    assert (gain.setting, gain.value) == ("graphics clock", pytest.approx(expected))
    assert gain.along == ("processor clock",)
    names = Names(setups={}, tests={"quay": TestName(name="Quay")})
    assert "% of graphics clock, which rose together with processor clock." in gain_words(gain, names)
    assert not gain.surely_above_one


def test_a_tune_that_gains_more_than_any_clock_doubts_the_baseline():
    points = clocked((1.0, 1.0), (1.1, 1.05), beta=(1.2, 0.4))
    (gain,) = tuned_gains("state1", "state0", points, boot_allowance=0.01)
    assert gain.surely_above_one
    doubt = doubts("state1", "state0", [gain])["quay"]
    assert (doubt.key, doubt.setups) == (DOUBTED, ("state0", "state1"))
    assert "state1 gained more over state0 than its graphics clock rose" in doubt.told()
    assert doubts("state1", "state0", [replace(gain, low=0.99)]) == {}


def test_a_tune_in_which_no_clock_rose_bounds_nothing():
    assert tuned_gains("state1", "state0", clocked((1.0, 1.0), (0.9, 1.0)), boot_allowance=0.0) == ()
    assert tuned_gains("state9", "state0", clocked((1.0, 1.0)), boot_allowance=0.0) == ()
