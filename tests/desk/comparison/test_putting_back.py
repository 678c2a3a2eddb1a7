"""A left-out rerun of the machine that bridges a change is tried as put back, as any left-out run is."""

from __future__ import annotations

import math
from pathlib import Path

import pytest
from tests.desk.swapped_folder import Made, swapped

from evenhand.desk.comparison.putting_back import left_out_across
from evenhand.desk.logs.importing import import_folder
from evenhand.desk.on_record import StudyOnRecord, load_study
from evenhand.desk.opening import present
from evenhand.desk.runs.deciding import set_aside
from evenhand.desk.runs.said import Said
from evenhand.desk.verdict.judged_for import judged_for, two_at_once
from evenhand.store.workbench import Workbench
from evenhand.verdicts.moves import Aspect, Flip, Lever

OLD, NEW = {"driver": "1"}, {"driver": "2"}
TESTS = ("quay", "mole")
ODD = 0.30  # of a log: what the left-out run lies below its siblings


def record(
    wb: Workbench, tmp_path: Path, *, odd: str, driver: dict[str, str] = NEW, by: float = ODD
) -> StudyOnRecord:
    """Tern before and Gull after a change of driver that Wren bridges; an odd run of `odd` is left out."""
    logs = dict.fromkeys(TESTS, 4.0)
    made = (
        Made(key="tern", parts=("p1",), logs=dict.fromkeys(TESTS, 4.02), stamps=OLD),
        Made(key="gull", parts=("p0",), logs=logs, stamps=driver, day=7),
        Made(key="wren", parts=("p2",), logs=logs, stamps=OLD),
        Made(key="wren-2", build="wren", parts=("p2",), logs=logs, stamps=driver, day=7),
    )
    folder = swapped(*made, compared=("tern", "gull"))
    label = f"{odd} quay 1"
    for run in folder.document["runs"]:
        if run["label"] == label:
            run["score"] = round(run["score"] * math.exp(-by), 6)
    import_folder(wb, folder.write(tmp_path / "study"), now=present())
    run_id = next(each.run.id for each in load_study(wb, "mole").runs if each.run.label == label)
    set_aside(wb, run_id, said=Said(now=present(), note=""), reason="rig-fault")
    return load_study(wb, "mole")


def put_back(wb: Workbench, found: StudyOnRecord) -> list[Flip]:
    (audience,) = judged_for(wb, found).audiences
    return [flip for flip in audience.flips if flip.moves[0].lever is Lever.RUN]


def test_a_left_out_rerun_of_the_bridge_turns_who_is_in_front(wb: Workbench, tmp_path: Path) -> None:
    found = record(wb, tmp_path, odd="wren-2")
    (run,) = left_out_across(found)
    flips = put_back(wb, found)
    assert {flip.moves[0].name for flip in flips} == {run.run.id}
    (order,) = (flip for flip in flips if flip.aspect is Aspect.ORDER)
    # One run of five of the bridge in one test of two, on Gull's side.
    assert math.log(order.ratio) == pytest.approx(0.02 - ODD / 5 / 2, abs=2e-4)
    assert order.moves[0].size == pytest.approx(1 / 5 / 2)


def test_so_does_a_left_out_run_of_a_compared_setup_across_the_bridge(wb: Workbench, tmp_path: Path) -> None:
    found = record(wb, tmp_path, odd="tern")
    (run,) = left_out_across(found)
    (order,) = (flip for flip in put_back(wb, found) if flip.aspect is Aspect.ORDER)
    assert order.moves[0].name == run.run.id
    assert math.log(order.ratio) == pytest.approx(0.02 - ODD / 5 / 2, abs=2e-4)


def test_where_it_turns_nothing_alone_the_search_for_two_changes_knows_it(
    wb: Workbench, tmp_path: Path
) -> None:
    found = record(wb, tmp_path, odd="wren-2", by=0.12)
    (run,) = left_out_across(found)
    assert not [flip for flip in put_back(wb, found) if flip.aspect is Aspect.ORDER]
    (audience,) = judged_for(wb, found).audiences
    # All weight on the test in which it stands: 2 % before, −0.4 % with it.
    turned = [flip for flip in two_at_once(wb, found, audience) if flip.aspect is Aspect.ORDER]
    assert any({m.lever for m in f.moves} == {Lever.RUN, Lever.WEIGHT} for f in turned)
    assert any(move.name == run.run.id for flip in turned for move in flip.moves)


def test_under_one_set_of_conditions_nobody_bridges_and_nothing_is_put_back_so(
    wb: Workbench, tmp_path: Path
) -> None:
    assert left_out_across(record(wb, tmp_path, odd="wren-2", driver=OLD)) == ()
