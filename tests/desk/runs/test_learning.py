"""Studies teach each other about a test they share, never themselves, and forget on request."""

from __future__ import annotations

from datetime import timedelta
from pathlib import Path

import pytest
from tests.desk.small_folder import LATER, NOW, frame_log, frames, small_folder

from evenhand.desk.logs.importing import import_folder
from evenhand.desk.runs.deciding import set_aside
from evenhand.desk.runs.learning import learned_before, let_count, what_is_learned
from evenhand.desk.runs.said import Said
from evenhand.errors import NotFound
from evenhand.records.runs import Reason
from evenhand.store.workbench import Workbench
from evenhand.triage.learned import NOTHING


@pytest.fixture
def two(stocked: Workbench, tmp_path: Path) -> Workbench:
    """The small study and another one of the same tests, measured later."""
    import_folder(stocked, small_folder("spring", seed=2).write(tmp_path / "spring"), now=LATER)
    return stocked


def test_a_study_teaches_about_each_of_its_tests(stocked: Workbench) -> None:
    known = {one.test.key: one for one in what_is_learned(stocked)}
    assert known.keys() == {"causeway", "tramlines", "render"}
    assert known["causeway"].learned.runs == 6
    assert 0.001 < known["causeway"].learned.spread.root < 0.02
    assert known["causeway"].learned.shape.weight == 6
    assert known["render"].learned.shape.told is None
    assert [kept.study for kept in known["causeway"].studies] == ["quay"]


def test_a_study_never_vouches_for_its_own_runs(stocked: Workbench) -> None:
    assert learned_before(stocked, "quay") == {}
    assert learned_before(stocked, "spring")["causeway"].runs == 6


def test_two_studies_teach_together_and_each_other(two: Workbench) -> None:
    (causeway,) = what_is_learned(two, "causeway")
    assert (causeway.learned.runs, causeway.learned.studies) == (12, 2)
    assert learned_before(two, "spring")["causeway"].runs == 6
    assert learned_before(two, "quay")["causeway"].runs == 6


def test_a_run_that_is_set_aside_teaches_no_longer(stocked: Workbench) -> None:
    set_aside(stocked, "wren causeway 1", reason=Reason.INTERRUPTED, said=Said(note="", now=LATER))
    (causeway,) = what_is_learned(stocked, "causeway")
    assert causeway.learned.runs == 5


def test_two_runs_that_are_noted_as_apart_teach_no_spread(stocked: Workbench, tmp_path: Path) -> None:
    folder = small_folder("spring", seed=2).without("wren causeway 3", "plover causeway 3")
    folder.files["logs/wren-causeway-2.csv"] = frame_log(frames(111.5, seed=77))
    import_folder(stocked, folder.write(tmp_path / "spring"), now=LATER)
    (before, after) = (learned_before(stocked, study)["causeway"] for study in ("spring", "quay"))
    assert after.runs == 2
    assert after.spread.root < 2 * before.spread.root


def test_what_is_forgotten_counts_no_longer_and_may_count_again(two: Workbench) -> None:
    changed = let_count(two, "causeway", study="spring", counts=False, now=LATER)
    assert [kept.study for kept in changed] == ["spring"]
    assert learned_before(two, "quay")["causeway"] == NOTHING
    assert learned_before(two, "spring")["causeway"].runs == 6
    assert let_count(two, "causeway", study="spring", counts=False, now=LATER) == ()
    let_count(two, "causeway", counts=True, now=LATER + timedelta(hours=1))
    assert learned_before(two, "quay")["causeway"].runs == 6


def test_what_is_forgotten_is_not_learned_again_by_another_import(two: Workbench, tmp_path: Path) -> None:
    let_count(two, "causeway", counts=False, now=LATER)
    import_folder(two, small_folder("spring", seed=2).write(tmp_path / "spring"), now=LATER)
    (causeway,) = what_is_learned(two, "causeway")
    assert causeway.learned == NOTHING
    assert [kept.counts for kept in causeway.studies] == [False, False]


@pytest.mark.parametrize(("test", "study"), [("causewey", None), ("causeway", "sprung")])
def test_an_unknown_test_or_study_is_told_with_the_nearest(
    two: Workbench, test: str, study: str | None
) -> None:
    with pytest.raises(NotFound, match=r"did you mean '(causeway|spring)'"):
        let_count(two, test, study=study, counts=False, now=NOW)
