"""The recorded takes: what stands in the file is what the page about it says."""

from __future__ import annotations

import numpy as np
import pytest
from validation.recorded.__main__ import GOOD, good_rows, spoilt_rows, takes_of

DONE = {
    *(GOOD, "cap", "pause", "late", "other-route", "hitches", "sag", "slower"),
    *("processor-burst", "graphics-burst"),
}


@pytest.mark.parametrize(
    ("which", "scenes"), [("seen", {"ridge", "market", "harbour"}), ("unseen", {"fen", "weir"})]
)
def test_each_set_holds_five_good_takes_of_each_scene_and_spoilt_ones(which: str, scenes: set[str]) -> None:
    takes = takes_of(which)
    assert {take.scene for take in takes} == scenes
    assert {take.done for take in takes} <= DONE
    for scene in scenes:
        assert sum(take.scene == scene and take.done == GOOD for take in takes) >= 5


def test_takes_are_whole_runs_of_frames() -> None:
    for which, seconds in (("seen", 15.0), ("unseen", 12.0)):
        for take in takes_of(which):
            trace = take.run.trace
            assert trace is not None
            assert trace.frame_times_ms.min() > 0
            assert trace.frame_times_ms.sum() / 1000 == pytest.approx(seconds, abs=0.2)
            assert np.all(np.diff(trace.elapsed_s) > 0)


def test_every_spoilt_take_of_the_graphics_heavy_scenes_is_held() -> None:
    for which, scene in (("seen", "ridge"), ("unseen", "fen")):
        rows = [row for row in spoilt_rows(takes_of(which)) if row[0] == scene]
        assert len(rows) >= 8
        assert [row[1] for row in rows if row[2] == "–"] == []


def test_their_good_takes_are_not_held() -> None:
    for which, scene in (("seen", "ridge"), ("unseen", "fen")):
        assert [row[3] for row in good_rows(takes_of(which)) if row[0] == scene] == ["0.0 %", "0.0 %"]
