"""A scene that waits while a run loads."""

from __future__ import annotations

import numpy as np
import pytest
from tests.triage.cells import run
from tests.triage.scenes import elsewhere, scene_take, seen

from evenhand.triage.curves import Floats
from evenhand.triage.pairs import pair
from evenhand.triage.resumption import Resumption, resumption


def resumed(times_ms: Floats) -> Resumption:
    view = seen((run("1", times_ms), run("2", scene_take(2))))
    laid = pair(*view.runs, view)
    assert laid is not None
    return resumption(laid, 15.0, 18.0, view)


def test_a_scene_that_waited_three_seconds_agrees_once_the_rest_is_moved_on() -> None:
    times = scene_take(1)
    at = int(np.searchsorted(np.cumsum(times) / 1000, 15.0))
    found = resumed(np.insert(times, np.full(120, at), 25.0))
    assert found.waits_s == pytest.approx(3.0, abs=0.3)
    assert found.agreement > 0.9


def test_a_scene_that_went_on_agrees_without() -> None:
    assert resumed(scene_take(1)).waits_s == pytest.approx(0.0, abs=0.3)


def test_another_scene_agrees_nowhere() -> None:
    assert resumed(scene_take(1, scene=elsewhere)).agreement < 0.65
