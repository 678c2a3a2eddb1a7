"""The programme of live studies counts what it says it counts, and the page holds what it printed."""

from pathlib import Path

import numpy as np
import pytest
from validation.studies import World, simulate

from evenhand.plans.looks import CALIBRATED
from validation import live

PAGE = (Path(__file__).parents[2] / "docs" / "methods-live.md").read_text(encoding="utf-8")


def counted(world, looks=CALIBRATED[0], seed=1):
    part = live.Part(what="", world=world, looks=looks)
    made = simulate(world, np.random.default_rng(seed))
    return dict(zip(live.COUNTS, live.counted(made, part), strict=True))


def test_without_noise_every_test_settles_at_the_first_look():
    seen = counted(World(runs=8, run_sd=1e-9, tests=4, effects="wide"))
    assert seen["unsettled"] == (0, 4)
    assert seen["runs"] == (12, 4)
    assert seen["saved of plan"][0] / seen["saved of plan"][1] == pytest.approx(5 / 8)
    assert seen["saved"][0] == 0  # all tests stop at the same look


def test_with_noise_far_beyond_the_effects_nothing_is_saved():
    seen = counted(World(runs=8, run_sd=0.3, tests=4, sd_spread=0.0, effects="none"))
    assert seen["unsettled"] == (4, 4)
    assert seen["saved of plan"][0] == 0


def test_evidence_at_any_time_is_counted_run_by_run():
    seen = counted(World(runs=12, run_sd=1e-9, tests=4, effects="wide"), looks=None)
    assert seen["unsettled"] == (0, 4)
    assert 2 <= seen["runs"][0] / seen["runs"][1] <= 4


def test_the_page_shows_every_figure_and_says_where_a_goal_is_missed():
    for part in live.parts():
        for figure in live.figures(part):
            assert f"| {live.looks_words(part.looks)} | {part.what} | {figure.what} |" in PAGE
    assert "**no**" not in PAGE.split("Both goals are met")[1]


def test_the_levels_on_the_page_are_those_in_the_code():
    for looks in CALIBRATED:
        name = "every run from 3 to 12" if len(looks.at) > 4 else ", ".join(map(str, looks.at))
        levels = f"{looks.ahead:g} | {looks.level:g}".replace("0.", ".")
        assert f"| {name} | {levels} |" in PAGE
