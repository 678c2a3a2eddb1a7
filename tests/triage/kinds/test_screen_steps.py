from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from tests.triage.cells import (
    ALONE,
    GAME,
    Floats,
    cell,
    held,
    judge,
    kinds,
    only,
    plain,
    run,
    take,
    with_first,
)

from evenhand.records.faults import Severity
from evenhand.triage.candidate import Candidate, Company


def waiting(times_ms: Floats, hertz: float, *, jitter: float = 0.02, seed: int = 1) -> Floats:
    """Frames that are shown at the screen's next beat, seen through a clock that shakes."""
    period = 1000 / hertz
    shake = jitter * period * np.random.default_rng(seed + 100).standard_normal(times_ms.size)
    return np.round(np.ceil(times_ms / period) * period + np.diff(shake, prepend=shake[:1]), 4)


def waits(name: str = "1", hertz: float = 144.0, *, fps: float = 140.0, jitter: float = 0.02) -> Candidate:
    return run(name, waiting(take(int(name), fps=fps), hertz, jitter=jitter, seed=int(name)))


def test_frames_that_wait_for_the_screen_are_in_doubt() -> None:
    found = judge(with_first(cell(fps=140.0), waits()))
    fault = only(found["1"], "screen-steps")
    assert fault.severity is Severity.IN_DOUBT
    assert "1" in held(found)
    assert fault.numbers["rate_fps"] == pytest.approx(144.0, rel=1e-3)
    assert plain(fault.evidence).startswith(
        "Frame times go by whole periods of 6.94 ms, the beat of a screen at 14"
    )
    assert fault.places


def test_one_second_without_a_change_parts_no_marked_stretch() -> None:
    periods = np.ones(4320)
    periods[720:2160:3] = 2.0
    periods[1110:1230] = 1.0
    times = waiting(0.999 * periods * 1000 / 144, 144.0)
    (place,) = only(judge([run("1", times)])["1"], "screen-steps").places
    ends = times[:720].sum() / 1000, times[:2160].sum() / 1000
    assert (place.from_s, place.to_s) == pytest.approx(ends, abs=0.6)


def test_what_the_marks_mean_is_said_where_they_leave_frames_out_that_wait_as_well() -> None:
    periods = np.ones(4320)
    periods[720:2160:3] = 2.0
    part = only(judge([run("1", waiting(0.999 * periods * 1000 / 144, 144.0))])["1"], "screen-steps")
    assert "Marked is where they change from one to another." in part.evidence
    periods[::3] = 2.0
    whole = only(judge([run("1", waiting(0.999 * periods * 1000 / 144, 144.0))])["1"], "screen-steps")
    assert "Marked" not in whole.evidence


def test_they_are_told_by_that_name_alone() -> None:
    assert "rate-cap" not in kinds(judge(with_first(cell(fps=140.0), waits()))["1"])


@pytest.mark.parametrize("hertz", [60.0, 144.0, 131.7, 360.0])
@pytest.mark.parametrize("jitter", [0.0, 0.01, 0.06])
def test_any_screen_and_any_clock(hertz: float, jitter: float) -> None:
    assert "screen-steps" in kinds(judge([waits(hertz=hertz, fps=hertz * 0.98, jitter=jitter)])["1"])


def test_all_runs_of_a_cell_may_wait() -> None:
    found = judge([waits(str(i)) for i in range(4)])
    assert all("screen-steps" in kinds(faults) for faults in found.values())
    assert "So do 3 of the other 3 runs" in only(found["0"], "screen-steps").evidence


def test_a_run_that_never_leaves_one_multiple_waits_for_its_siblings_screen() -> None:
    runs = [waits(str(i)) for i in range(3)]
    one_beat = waits("3", fps=180.0)
    assert "rate-cap" in kinds(judge([one_beat])["3"])
    assert "screen-steps" in kinds(judge([*runs, one_beat])["3"])


@pytest.mark.parametrize("pattern", [[1, 1, 2], [1, 2], [2, 3, 2], [1, 1, 1, 1, 3]])
def test_regular_waits_are_waits_too(pattern: list[int]) -> None:
    rng = np.random.default_rng(1)
    shake = 0.1 * rng.standard_normal(2400)
    times = np.resize(pattern, 2400) * 1000 / 120 + np.diff(shake, prepend=0.0)
    assert "screen-steps" in kinds(judge([run("1", times)])["1"])


def test_a_screen_that_follows_the_frames_up_to_its_ceiling_is_a_cap_and_no_steps() -> None:
    times = np.maximum(take(1, fps=140.0), 1000 / 144)
    found = kinds(judge(with_first(cell(fps=140.0), run("1", times)))["1"])
    assert "rate-cap" in found
    assert "screen-steps" not in found


def test_a_declared_rate_is_only_noted() -> None:
    locked = Company(test=replace(GAME, locked_fps=72.0))
    runs = [waits(str(i), fps=85.0) for i in range(3)]
    found = judge(runs, locked)
    assert [only(found[str(i)], "screen-steps").severity for i in range(3)] == [Severity.NOTE] * 3


@pytest.mark.parametrize("levels", [(1.0, 2.0), (1.0, 1.5), (1.0, 4 / 3)])
def test_two_rooms_of_a_scene_are_no_screen(levels: tuple[float, float]) -> None:
    """Whole ratios by chance: free frames do not make up for each other, and longer ones scatter more."""
    for seed in range(6):
        rng = np.random.default_rng(seed)
        times = 9.37 * np.repeat(np.resize(levels, 10), 300) * np.exp(0.02 * rng.standard_normal(3000))
        assert "screen-steps" not in kinds(judge([run("1", times)], ALONE)["1"]), seed


def test_frames_that_alternate_are_no_screen() -> None:
    rng = np.random.default_rng(3)
    times = np.resize([6.3, 12.7], 3000) * np.exp(0.02 * rng.standard_normal(3000))
    assert "screen-steps" not in kinds(judge([run("1", times)])["1"])


def test_hitches_are_no_screen() -> None:
    rng = np.random.default_rng(4)
    times = take(1, still=True, noise=0.003)
    struck = rng.random(times.size) < 0.04
    times[struck] *= rng.uniform(2, 7, int(struck.sum()))
    assert "screen-steps" not in kinds(judge([run("1", times)])["1"])


def test_a_log_in_whole_milliseconds_has_a_beat_of_its_own() -> None:
    assert "screen-steps" not in kinds(judge([run("1", np.ceil(take(1, fps=400.0)))])["1"])


@pytest.mark.parametrize("frames", [0, 1, 2, 10, 59])
def test_too_few_frames_show_none(frames: int) -> None:
    assert "screen-steps" not in kinds(judge([run("1", np.resize([7.0, 14.0], frames))])["1"])
