"""The parts of the generator: exact effects, shared scenes, numbers as Python would write them."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from evenhand.demo.effects import run_effects
from evenhand.demo.fixed_point import decimals, joined
from evenhand.demo.frames import capped_run, free_run, scene

GROUPS = (slice(0, 5), slice(5, 9))


@pytest.mark.parametrize("seed", range(5))
def test_run_effects_cancel_within_each_test_over_the_good_runs(seed: int) -> None:
    good = np.ones((5, 9), dtype=bool)
    good[2, 3] = False
    effects = run_effects(good, GROUPS, np.random.default_rng(seed))
    assert np.where(good, effects, 0.0).sum(axis=0) == pytest.approx(np.zeros(9), abs=1e-9)


def test_a_boot_moves_all_its_tests_together() -> None:
    good = np.ones((5, 9), dtype=bool)
    effects = run_effects(good, GROUPS, np.random.default_rng(4))
    games, work = (effects[:, group].mean(axis=1) for group in GROUPS)
    assert games == pytest.approx(work, abs=1e-9)
    assert games.std() > 0.001


@given(st.lists(st.integers(0, 10**12), min_size=1, max_size=30), st.integers(0, 6), st.integers(0, 20))
def test_decimals_are_written_as_python_writes_them(values: list[int], places: int, width: int) -> None:
    lines = joined(decimals(np.array(values), places, width=width), b"\n").decode().splitlines()
    whole = [
        f"{value // 10**places}" + (f".{value % 10**places:0{places}d}" if places else "") for value in values
    ]
    if not width:
        assert lines == whole
    assert [line.strip() for line in lines] == whole
    assert len({len(line) for line in lines}) == 1 or not width


def test_a_free_run_has_exactly_its_rate_and_about_its_length() -> None:
    rng = np.random.default_rng(1)
    times = free_run(scene(0.2, rng), 88.0, 60.0, rng)
    assert 1000 * times.size / times.sum() == pytest.approx(88.0, rel=1e-12)
    assert times.sum() / 1000 == pytest.approx(60.0, rel=0.02)


def test_two_runs_share_the_scene_but_not_the_noise() -> None:
    rng = np.random.default_rng(1)
    shown = scene(0.2, rng)
    one, two = (np.log(free_run(shown, 88.0, 60.0, rng)[:5000]) for _ in range(2))
    smooth = [np.convolve(times, np.ones(200) / 200, mode="valid") for times in (one, two)]
    assert np.corrcoef(*smooth)[0, 1] > 0.9
    assert abs(np.corrcoef(np.diff(one), np.diff(two))[0, 1]) < 0.1


def test_a_capped_run_is_never_quicker_than_its_cap_but_for_jitter() -> None:
    rng = np.random.default_rng(1)
    held = capped_run(free_run(scene(0.125, rng), 165.0, 60.0, rng), 143.9, rng)
    assert 1000 * held.size / held.sum() == pytest.approx(143.9, rel=1e-12)
    assert held.min() > 1000 / 145
