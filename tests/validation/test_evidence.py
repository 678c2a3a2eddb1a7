"""The programmes of noise, heat and forecasts count what they say, and small ones keep their promises."""

import numpy as np
import pytest

from validation import evidence, forecasts


def rng(seed=3):
    return np.random.default_rng(seed)


@pytest.mark.parametrize("world", [evidence.SOUND[1], evidence.SOUND[3], evidence.HEAT[0], evidence.HEAT[3]])
def test_intervals_cover_the_truth(world):
    (figure, *_) = evidence.counted(world.name, world.draw, draws=300, rng=rng())
    assert figure.chances == 300
    assert 0.91 <= figure.share <= 0.985


def test_a_machine_as_loud_as_the_room_is_often_refused():
    found = {
        f.what: f for f in evidence.counted("", evidence.SOUND[5].draw, draws=200, rng=rng(), goal=False)
    }
    assert 0.2 < found["refused"].share < 0.8


def test_a_drowned_machine_is_seldom_louder_than_was_told():
    figure = evidence.bounds_broken(evidence.DROWNED[0], draws=200, rng=rng())
    assert figure.chances > 300
    assert figure.share <= 0.06


def test_a_figure_says_whether_its_goal_is_met():
    lines = list(
        evidence.table(
            iter([evidence.Figure(world="w", what="x", events=80, chances=100, goal=(0.93, 0.97))])
        )
    )
    assert lines[-1] == "| w | x | 93–97 % | 80.0 % | 4.0 | no | 100 |"


def test_the_next_title_lies_inside_as_often_as_is_said():
    normal = forecasts.POPULATIONS["normal"]
    assert forecasts.coverage(normal, 6, studies=2000, rng=rng()) == pytest.approx(0.95, abs=0.02)
