"""Another scene or route."""

from __future__ import annotations

import numpy as np
import pytest
from tests.triage.cells import plain
from tests.triage.scenes import Slower, elsewhere, scene_take, seen, takes_beside, window

from evenhand.records.faults import Severity
from evenhand.triage.kinds.course import course_of_run
from evenhand.triage.kinds.scene import KIND, crossing
from evenhand.triage.pairs import pair


@pytest.mark.parametrize("scene", [elsewhere, np.zeros_like])
@pytest.mark.parametrize("n", [3, 5])
def test_another_scene_is_found_even_where_nothing_moves_in_it(scene: Slower, n: int) -> None:
    ((name, fault),) = course_of_run(seen(takes_beside(scene_take(1, scene=scene), n)))
    assert (name, fault.kind, fault.severity) == ("1", KIND, Severity.IN_DOUBT)
    assert "hardly resembles theirs" in plain(fault.evidence)


@pytest.mark.parametrize("slower", [window(5, 15, 0.3), lambda at_s: 0.15 * (at_s / 30).clip(0, 1)])
def test_a_run_that_is_only_ever_slower_or_slowly_so_is_no_other_scene(slower: Slower) -> None:
    view = seen(takes_beside(scene_take(1, slower=slower)))
    laid = pair(view.runs[0], view.runs[1], view)
    assert laid is not None
    assert crossing(laid) < view.limits.scene.least
    assert KIND not in {f.kind for _, f in course_of_run(view)}
