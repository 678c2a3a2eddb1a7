"""The simulator of triage draws what it says it draws; a planted fault changes what it says and no more."""

from dataclasses import replace

import numpy as np
import pytest
from validation.triage.lending import lent_by
from validation.triage.plants import PLANTS
from validation.triage.runs import Change, again, company, draw_cell, draw_run, frames
from validation.triage.scenes import draw_scene
from validation.triage.spoiling.course import hitching, odd, slow_stretch
from validation.triage.spoiling.logs import lasting, trimmed_copy
from validation.triage.spoiling.machine import frozen
from validation.triage.spoiling.rates import capped, screen_rates, screened
from validation.triage.table import fitting


def quiet(**more):
    """A still scene of 20 s at 100 a second, the same in every take but for its frame noise."""
    drawn = draw_scene(np.random.default_rng(4))
    same = {"spread": 0.0, "sag": 0.0, "shape": 0.0, "length_spread": 0.0, "start_spread_s": 0.0}
    plain = {
        "pattern": "",
        "hitches_a_second": 0.0,
        "hitch_places_s": (),
        "noise": 0.004,
        "memory": 0.2,
        "second": 0.0,
    }
    test = {"locked_fps": None, "free_length": False, "by_frames": False, "kind": "still", "sensors": False}
    scene = replace(drawn, fps=100.0, length_s=20.0, course=np.zeros(2000), **same, **plain, **test)
    return replace(scene, **more)


def rng(seed=1):
    return np.random.default_rng(seed)


def logs(scene, n=300):
    return np.log([run.headline for run in draw_cell(scene, n, rng())])


def ratio(after, before):
    """Log ratio of frame times, frame by frame, as far as both go."""
    a, b = frames(after), frames(before)
    most = min(a.size, b.size)
    return np.log(a[:most] / b[:most])


# --- good runs


@pytest.mark.parametrize("spread", [0.004, 0.015, 0.06])
def test_the_spread_of_the_level_is_the_spread_asked_for(spread):
    assert np.std(logs(quiet(spread=spread)), ddof=1) == pytest.approx(spread, rel=0.13)


def test_takes_that_differ_along_the_scene_do_not_differ_in_level_for_it():
    assert np.std(logs(quiet(shape=0.03), n=60)) < 0.002


def test_hitches_come_as_often_as_asked():
    scene = quiet(hitches_a_second=0.5, hitch_excess=0.0)
    longer = sum(int((frames(run) > 15).sum()) for run in draw_cell(scene, 100, rng()))
    assert longer / (100 * 20.0) == pytest.approx(0.5, rel=0.1)


def test_hitches_of_the_scene_fall_on_the_same_places_in_nearly_every_take():
    cell = draw_cell(quiet(hitch_places_s=(5.0, 12.0)), 40, rng())
    at_s = np.concatenate([(np.cumsum(frames(r)) / 1000)[frames(r) > 15] for r in cell])
    near = [np.abs(at_s - place) < 0.5 for place in (5.0, 12.0)]
    assert (near[0] | near[1]).all()
    assert 60 <= at_s.size <= 80


def test_noise_has_the_size_and_the_memory_asked_for():
    run = draw_run(
        quiet(noise=0.03, memory=0.7, second=-0.3, length_s=100.0, course=np.zeros(9000)), "a1", rng()
    )
    log_ms = np.log(frames(run))
    centred = log_ms - log_ms.mean()
    assert np.std(log_ms) == pytest.approx(0.03, rel=0.08)
    assert (centred[1:] @ centred[:-1]) / (centred @ centred) == pytest.approx(0.7, abs=0.05)


def test_frames_follow_the_course_of_the_scene_in_time():
    step = np.where(np.arange(2000) * 0.05 - 15 >= 8.0, 0.2, 0.0)
    run = draw_run(quiet(course=step), "a1", rng())
    log_ms, ends_s = np.log(frames(run)), np.cumsum(frames(run)) / 1000
    assert np.median(log_ms[ends_s > 8.2]) - np.median(log_ms[ends_s < 7.8]) == pytest.approx(0.2, abs=0.001)
    assert ends_s[-1] == pytest.approx(20.0, abs=0.05)


def test_a_scene_that_goes_by_frames_ends_after_so_many():
    scene = quiet(by_frames=True, spread=0.05)
    assert {frames(run).size for run in draw_cell(scene, 5, rng())} == {2000}


def test_a_declared_rate_is_met_by_every_good_run():
    made = rng(8)
    scenes = [s for s in (draw_scene(made) for _ in range(150)) if s.locked_fps]
    rates = [run.headline / s.locked_fps for s in scenes for run in draw_cell(s, 2, made)]
    assert len(rates) > 10
    assert min(rates) > 0.98
    assert max(rates) < 1.005


def test_takes_of_a_declared_rate_share_no_error_of_the_limiter():
    made = rng(8)
    scene = next(s for s in (draw_scene(made) for _ in range(150)) if s.locked_fps)
    one, two = (np.diff(frames(run)[:400]) for run in draw_cell(scene, 2, made))
    assert abs(np.corrcoef(one, two)[0, 1]) < 0.5


def test_the_same_seed_draws_the_same_cell_and_company():
    drawn = []
    for _ in range(2):
        made = rng(31)
        scene = draw_scene(made)
        drawn.append((draw_cell(scene, 3, made), company(scene, 3, made)))
    (one, around), (other, again_around) = drawn
    assert all(np.array_equal(frames(a), frames(b)) for a, b in zip(one, other, strict=True))
    assert around.learned == again_around.learned
    assert around.study_spread == again_around.study_spread


# --- planted faults


def test_a_run_drawn_again_with_nothing_changed_is_the_same_run():
    scene = draw_scene(rng(3))
    run = draw_run(scene, "a1", rng())
    assert np.array_equal(frames(again(scene, run, Change())), frames(run))


def test_a_level_moves_every_frame_alike_and_the_take_lasts_as_long():
    scene = quiet()
    run = draw_run(scene, "a1", rng())
    moved = odd(0.07, 0.1)(run, scene, rng())
    apart = ratio(moved, run)
    assert np.ptp(apart) < 0.001
    assert 0.067 < abs(apart[0]) < 0.0954
    assert frames(moved).sum() == pytest.approx(frames(run).sum(), abs=30)


def test_loading_slows_one_stretch_and_nothing_before_it():
    scene = quiet()
    run = draw_run(scene, "a1", rng())
    slowed = ratio(slow_stretch(3, 5)(run, scene, rng()), run) > 0.1
    (inside,) = np.nonzero(slowed)
    assert slowed.sum() == inside[-1] - inside[0] + 1
    assert np.array_equal(
        np.abs(ratio(slow_stretch(3, 5)(run, scene, rng()), run)[: inside[0]]) < 1e-3, ~slowed[: inside[0]]
    )


def test_as_many_hitches_are_planted_as_asked_for():
    scene = quiet()
    run = draw_run(scene, "a1", rng())
    assert 15 <= int((frames(hitching(15, 24)(run, scene, rng())) > 15).sum()) <= 24


def test_no_frame_is_quicker_than_a_limiter():
    scene = quiet(noise=0.03)
    run = draw_run(scene, "a1", rng())
    line = np.quantile(frames(run), 0.8)
    held = frames(capped(0.8, 0.8)(run, scene, rng()))
    assert held.min() > line * 0.997
    assert 0.7 < np.mean(np.abs(held / line - 1) < 0.003) < 0.9


@pytest.mark.parametrize("queued", [False, True])
def test_frames_on_a_screen_last_whole_periods(queued):
    scene = quiet(fps=90.0, noise=0.06)
    run = draw_run(scene, "a1", rng())
    shown = frames(screened(queued=queued)(run, scene, rng()))
    periods = [shown * rate / 1000 for rate in screen_rates(scene)]
    fits = [np.mean(np.abs(p - np.round(p)) < 0.25) for p in periods]
    assert max(fits) > 0.95


def test_a_copy_holds_the_frames_of_the_other_run():
    scene = quiet()
    copy, other = trimmed_copy(scene, draw_cell(scene, 2, rng()), rng())
    there = np.isin(frames(copy), frames(other))
    assert there.all()
    assert frames(copy).size < frames(other).size


def test_a_short_take_is_the_beginning_of_the_run():
    scene = quiet()
    run = draw_run(scene, "a1", rng())
    short = frames(lasting(0.5, 0.9)(run, scene, rng()))
    assert np.array_equal(short, frames(run)[: short.size])
    assert 0.5 <= short.sum() / frames(run).sum() <= 0.9


def test_what_only_sensors_show_leaves_the_frames_as_they_were():
    scene = quiet(sensors=True)
    run = draw_run(scene, "a1", rng())
    stuck = frozen(run, scene, rng())
    assert np.array_equal(frames(stuck), frames(run))
    begun = stuck.sensors.time_s < 0.15 * 20
    for before, after in zip(run.sensors.channels, stuck.sensors.channels, strict=True):
        assert np.array_equal(before.values[begun], after.values[begun])
        assert np.unique(after.values[-8:]).size == 1


@pytest.mark.parametrize("plant", PLANTS, ids=lambda p: f"{p.kind}: {p.title}")
def test_only_the_first_runs_are_spoilt_unless_all_are(plant):
    made = rng(17)
    scene = fitting(plant, made)
    cell = draw_cell(scene, 3, made)
    spoilt = plant.spoil(scene, cell, made)
    changed = [after is not before for before, after in zip(cell, spoilt, strict=True)]
    assert [run.id for run in spoilt] == [run.id for run in cell]
    assert all(changed[: plant.runs])
    if not plant.moves_siblings:
        assert changed[plant.runs :] == [plant.shared] * (3 - plant.runs)


# --- what other cells lend


def test_other_cells_lend_their_spread_whether_or_not_a_run_waits_in_them():
    spreads = lent_by(400, 5, rng(2))
    usual = np.sqrt([variance for variance, _ in spreads])
    assert len(spreads) == 400
    assert 0.004 < np.median(usual) < 0.016
    assert max(usual) < 0.2  # a run in another unit would make it 3
    assert {df for _, df in spreads} <= {2.0, 3.0, 4.0}
