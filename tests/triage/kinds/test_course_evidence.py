"""What a person looks at to believe a finding on the course of a run."""

from __future__ import annotations

import numpy as np
import pytest
from tests.triage.cells import run
from tests.triage.scenes import scene_take, seen, takes_beside, window

from evenhand.triage.kinds.course_evidence import CourseEvidence, course_evidence


def shown(slower_ln: float) -> CourseEvidence:
    view = seen(takes_beside(scene_take(1, slower=window(12, 16, slower_ln))))
    found = course_evidence(view, view.runs[0])
    assert found is not None
    return found


def test_the_run_stands_above_the_band_against_every_sibling_where_it_is_marked() -> None:
    picture = shown(0.3)
    assert picture.fault is not None
    assert picture.fault.kind == "slow-stretch"
    assert picture.places == picture.fault.places
    (place,) = picture.places
    assert [b.sibling for b in picture.beside] == ["2", "3", "4", "5"]
    for beside in picture.beside:
        inside = (beside.at_s >= place.from_s + 0.5) & (beside.at_s < place.to_s - 0.5)
        assert beside.apart_ln[inside].min() > picture.band_ln
        assert abs(np.median(beside.apart_ln[~inside])) < 0.01


def test_a_good_run_has_a_picture_too_and_stays_within_the_band() -> None:
    picture = shown(0.0)
    assert (picture.fault, picture.places) == (None, ())
    assert max(float(np.median(np.abs(b.apart_ln))) for b in picture.beside) < picture.band_ln
    assert picture.usual_ln == pytest.approx(0.005, abs=0.005)


def test_a_run_without_siblings_or_frames_has_none() -> None:
    alone = seen((run("1", scene_take(1)),))
    assert course_evidence(alone, alone.runs[0]) is None
