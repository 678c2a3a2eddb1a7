"""A file comes in and lands as a run: once, with the identity that an import would give it, or not at all."""

from __future__ import annotations

from concurrent.futures import ThreadPoolExecutor
from dataclasses import replace
from datetime import timedelta
from pathlib import Path

import pytest
from tests.desk.landing_cases import STUDY, come_in, filing, landed, log
from tests.desk.same_content import assert_comes_back_the_same, content
from tests.desk.small_folder import LATER, NOW, Folder, day_log, small_folder

from evenhand.desk.bench.landing import arrive, land, land_score
from evenhand.desk.bench.placing import bring_back, put_away
from evenhand.desk.logs.importing import import_folder
from evenhand.desk.logs.layouts import remembered
from evenhand.desk.on_record import load_study
from evenhand.desk.runs.run_names import run_named
from evenhand.desk.runs.triaging import triage_study
from evenhand.errors import BadLog, BadRecord
from evenhand.records.builds import Setup
from evenhand.records.layouts import Column, Layout, LogKind, Role
from evenhand.records.plans import BenchNote, Plan, Slot
from evenhand.records.runs import Decision, Reason, RunState
from evenhand.records.studies import Study
from evenhand.store import arrivals, decisions, originals, plans, shelves
from evenhand.store import runs as run_store
from evenhand.store.upkeep import check
from evenhand.store.workbench import Workbench, open_workbench
from evenhand.traces.fingerprints import fingerprint
from evenhand.traces.probe import probe
from evenhand.traces.proposals import propose


def test_a_log_lands_as_a_run_with_its_numbers_and_is_judged_with_its_siblings(stocked: Workbench) -> None:
    found = landed(stocked, log(), boot="wren-4", order=19, ambient_c=23.4)
    run = found.run.run
    assert (run.test, run.setup, run.boot, run.order, run.ambient_c) == (
        "causeway",
        "wren",
        "wren-4",
        19,
        23.4,
    )
    assert found.run.metrics.values["average_fps"] == pytest.approx(100, rel=0.02)
    assert (found.run.state, found.again) == (RunState.LANDED, False)
    assert load_study(stocked, STUDY).run(run.id) == found.run


def test_a_run_that_differs_from_its_siblings_is_held(stocked: Workbench) -> None:
    found = landed(stocked, log(fps=60.0))
    assert found.run.state is RunState.IN_DOUBT
    assert found.run.faults[0].evidence


def test_what_lands_one_by_one_is_what_an_import_brings(tmp_path: Path, folder: Folder) -> None:
    first = folder.without("wren causeway 3", "plover tramlines 2")
    with (
        open_workbench(tmp_path / "landed.evenhand") as wb,
        open_workbench(tmp_path / "all.evenhand") as whole,
    ):
        import_folder(wb, first.write(tmp_path / "first"), now=NOW)
        for label in ("wren causeway 3", "plover tramlines 2"):
            told = folder.run(label)
            data = folder.files[told["log"]]
            about = {key: told[key] for key in ("test", "setup", "boot", "order", "ambient_c", "label")}
            landed(wb, data, name=told["log"], **about)
        triage_study(wb, STUDY, now=LATER)
        import_folder(whole, folder.write(tmp_path / "all"), now=NOW)
        one, other = content(wb, STUDY), content(whole, STUDY)
    assert {r.id: r for r in one["runs"]} == {r.id: r for r in other["runs"]}
    for part in ("metrics", "faults", "states", "layouts"):
        assert one[part] == other[part]


def test_a_study_with_landed_runs_comes_back_the_same(stocked: Workbench, tmp_path: Path) -> None:
    landed(stocked, log(1), name="a.csv", boot="wren-9", order=30, wall_w=301.0, stamps={"driver": "31.4"})
    landed(stocked, log(2), name="a.csv", started_at=LATER, duration_s=8.0)
    landed(stocked, log(1), name="a.csv", test="tramlines", label="filed twice")
    land_score(stocked, filing(test="render", score=12.1, order=33), by="browser", now=LATER)
    land_score(stocked, filing(test="render", score=12.2), by="browser", now=LATER)
    triage_study(stocked, STUDY, now=LATER)
    assert_comes_back_the_same(stocked, STUDY, tmp_path)


def test_the_same_bytes_for_the_same_test_and_setup_are_one_run(stocked: Workbench) -> None:
    first, again = landed(stocked, log()), landed(stocked, log(), name="copy of it.csv", ambient_c=24.0)
    assert again.again
    assert again.run.run.id == first.run.run.id
    assert again.run.run.ambient_c == 24.0  # what was not said yet is filled in
    once_more = landed(stocked, log(), ambient_c=31.0, label="another name")
    assert once_more.run.run.ambient_c == 24.0  # what stands is not overwritten by a repeated upload
    assert len(load_study(stocked, STUDY).runs) == 19


def test_a_log_that_an_import_brought_is_not_made_a_second_run(stocked: Workbench, folder: Folder) -> None:
    data = folder.files[folder.run("wren causeway 1")["log"]]
    found = landed(stocked, data, name="elsewhere.csv")
    assert found.again
    assert (found.run.run.label, found.run.run.order) == ("wren causeway 1", 1)


def test_a_run_of_another_study_is_shared_and_stays_as_it_is_told_there(
    stocked: Workbench, tmp_path: Path
) -> None:
    import_folder(stocked, small_folder("mole", seed=2).write(tmp_path / "mole"), now=NOW)
    first = landed(stocked, log(), label="mine", boot="wren-4", order=40)
    second = landed(stocked, log(), study="mole", label="yours", boot="wren-7", wall_w=300.0)
    assert not second.again
    assert second.run.run.id == first.run.run.id
    for study in (STUDY, "mole"):
        run = load_study(stocked, study).run(first.run.run.id).run
        assert (run.label, run.boot, run.wall_w) == ("mine", "wren-4", 300.0)


def test_two_landings_at_once_make_one_run(stocked: Workbench) -> None:
    with ThreadPoolExecutor(4) as pool:
        found = list(pool.map(lambda n: landed(stocked, log(n % 2)), range(8)))
    assert len({each.run.run.id for each in found}) == 2
    assert sum(not each.again for each in found) == 2
    labels = [each.run.label for each in load_study(stocked, STUDY).runs]
    assert len(set(labels)) == len(labels) == 20
    assert check(stocked.path).sound


def test_an_arrival_is_kept_once_and_its_bytes_for_good(stocked: Workbench) -> None:
    one, same = come_in(stocked, b"anything"), come_in(stocked, b"anything")
    other = arrive(stocked, b"anything", name="causeway.csv", by="rig-1", about={}, now=LATER)
    assert one == same
    assert other.id != one.id
    assert originals.original(stocked, one.digest) == b"anything"


@pytest.mark.parametrize(
    ("data", "said"),
    [
        (b"", "empty"),
        (b"\x89PNG\r\n\x1a\n\0\0\0", "binary"),
        (b"only words\nand no number\n", "no row of numbers"),
    ],
)
def test_what_is_no_log_waits_with_the_reason(stocked: Workbench, data: bytes, said: str) -> None:
    came = come_in(stocked, data, "holiday.csv")
    for _ in range(2):
        with pytest.raises((BadLog, BadRecord), match=said):
            land(stocked, came, filing(), by="folder", now=LATER)
    ((waiting, placing),) = arrivals.waiting(stocked)
    assert waiting == came
    assert placing is not None
    assert said in placing.note
    assert len(arrivals.placings_of(stocked, came.id)) == 1
    assert len(load_study(stocked, STUDY).runs) == 18


def test_columns_that_nobody_confirmed_are_asked_for_and_remembered_once_confirmed(
    stocked: Workbench,
) -> None:
    data = log(header="time [s],frame time [ms]")
    came = come_in(stocked, data, "new.csv")
    with pytest.raises(BadRecord, match="nobody has confirmed what its columns are"):
        land(stocked, came, filing(), by="folder", now=LATER)
    guess = propose(probe(data, name="new.csv")).layout()
    found = land(stocked, came, filing(), by="browser", now=LATER, layout=guess)
    assert found.run.metrics.values["average_fps"] == pytest.approx(100, rel=0.02)
    assert arrivals.waiting(stocked) == ()
    assert not landed(stocked, log(7, header="time [s],frame time [ms]")).again


def test_confirmed_columns_of_another_header_are_refused(stocked: Workbench) -> None:
    guess = propose(probe(b"x [s],y [ms]\n0.0,16.6\n0.1,16.7\n", name="b.csv")).layout()
    known = remembered(stocked)
    with pytest.raises(BadRecord, match="those of another header"):
        land(stocked, come_in(stocked, log()), filing(), by="browser", now=LATER, layout=guess)
    assert remembered(stocked) == known


@pytest.mark.parametrize(
    ("wrong", "said"),
    [
        ({"study": "quai"}, "no study is called 'quai'"),
        ({"test": "causway"}, "not a test of the study"),
        ({"setup": "heron"}, "not a setup of the study"),
        ({"ambient_c": 400.0}, "'ambient_c' is 400"),
        ({"order": -1}, "'order' is -1"),
        ({"started_at": NOW.replace(tzinfo=None)}, "does not say its time zone"),
        ({"score": 3.0}, "needs a log, not a score"),
        ({"plan": 7, "slot": 1}, "no plan 7"),
    ],
)
def test_a_filing_that_cannot_be_is_refused_in_words(
    stocked: Workbench, wrong: dict[str, object], said: str
) -> None:
    with pytest.raises(BadRecord, match=said):
        land(stocked, come_in(stocked, log()), replace(filing(), **wrong), by="folder", now=LATER)
    assert len(arrivals.waiting(stocked)) == 1


def test_a_slot_of_the_plan_gives_boot_order_and_what_was_noted_beside_it(stocked: Workbench) -> None:
    slot = Slot(number=1, block=1, test="causeway", setup="wren", boot="wren-4", order=40, minutes=5)
    plan = plans.save_plan(stocked, Plan(study=STUDY, at=NOW, seed=1, looks=(3,), slots=(slot,)))
    for key, value in (("ambient_c", "24.5"), ("wall_w", "about 300")):
        plans.add_note(stocked, BenchNote(plan=plan.id, slot=1, key=key, value=value, by="phone", at=NOW))
    run = landed(stocked, log(), plan=plan.id, slot=1).run.run
    assert (run.boot, run.order, run.ambient_c, run.wall_w) == ("wren-4", 40, 24.5, None)
    assert [p.run for p in arrivals.placed_in_plan(stocked, plan.id)] == [run.id]
    with pytest.raises(BadRecord, match="slot 1 is for causeway on wren"):
        landed(stocked, log(9), setup="plover", plan=plan.id, slot=1)


def test_a_sensor_log_beside_a_frame_log_gives_its_numbers(stocked: Workbench) -> None:
    readings = come_in(stocked, day_log(hot_from_s=9e9, hours=0.01), "causeway.csv")
    when = {"started_at": NOW, "duration_s": 8.0}
    with pytest.raises(BadRecord, match="nobody has confirmed"):
        landed(stocked, log(), sensors=readings, **when)
    guess = propose(probe(originals.original(stocked, readings.digest), name="day.csv")).layout()
    came = come_in(stocked, log())
    found = land(stocked, came, filing(sensors=readings, **when), by="rig", now=LATER, layout=guess)
    assert found.run.run.sensors == readings.digest
    assert any("temperature" in key for key in found.run.metrics.values)
    assert arrivals.waiting(stocked) == ()


def test_a_sensor_log_that_comes_after_its_frames_is_joined_to_the_run(stocked: Workbench) -> None:
    landed(stocked, log(), started_at=NOW, duration_s=8.0)
    data = day_log(hot_from_s=9e9, hours=0.01)
    guess = propose(probe(data, name="day.csv")).layout()
    more = filing(sensors=come_in(stocked, data, "day.csv"))
    found = land(stocked, come_in(stocked, log()), more, by="rig", now=LATER, layout=guess)
    assert found.again
    assert any("temperature" in key for key in found.run.metrics.values)


def test_a_score_lands_without_a_file_and_told_again_it_is_the_same_run(stocked: Workbench) -> None:
    told = filing(test="render", score=12.1, boot="wren-4", order=40)
    first, again = (land_score(stocked, told, by="rig", now=LATER) for _ in range(2))
    assert (first.again, again.again) == (False, True)
    assert first.run.run == again.run.run
    assert first.run.headline(load_study(stocked, STUDY).tests["render"]) == 12.1
    better = land_score(stocked, replace(told, score=12.3), by="browser", now=LATER)
    assert (better.run.run.id, better.run.run.score) == (first.run.run.id, 12.3)


def test_a_score_made_again_after_its_run_was_set_aside_is_another_run(stocked: Workbench) -> None:
    told = filing(test="render", score=12.1, boot="wren-4", order=40)
    first = land_score(stocked, told, by="rig", now=LATER).run.run.id
    aside = Decision(run=first, at=LATER, state=RunState.SET_ASIDE, reason=Reason.INTERRUPTED)
    decisions.add_decision(stocked, aside)
    assert land_score(stocked, replace(told, score=12.4), by="rig", now=LATER).run.run.id != first


def test_scores_with_other_starts_are_other_runs(stocked: Workbench) -> None:
    starts = (LATER, LATER + timedelta(minutes=5), LATER)
    told = [filing(test="render", score=12.1, order=40, started_at=start) for start in starts]
    ids = [land_score(stocked, each, by="rig", now=LATER).run.run.id for each in told]
    assert ids[0] == ids[2] != ids[1]


TABLE = b"test,run,score\nNight render,a,12.1\nNight render,b,12.2\nother,a,99\n"


def score_table() -> Layout:
    roles = {"test": Role.TEST, "run": Role.RUN, "score": Role.SCORE}
    columns = tuple(Column(header=header, role=role) for header, role in roles.items())
    mark = fingerprint(probe(TABLE, name="scores.csv").header)
    return Layout(fingerprint=mark, kind=LogKind.SCORES, columns=columns)


def test_a_score_table_gives_a_run_for_each_row_of_its_test(stocked: Workbench) -> None:
    guess = score_table()
    came = come_in(stocked, TABLE, "scores.csv")
    told = filing(test="render", order=40)
    found = land(stocked, came, told, by="folder", now=LATER, layout=guess)
    assert [each.run.score for each in (found.run, *found.also)] == [12.1, 12.2]
    again = land(stocked, came, told, by="folder", now=LATER)
    assert again.again
    assert again.run.run.id == found.run.run.id
    later = land(stocked, come_in(stocked, TABLE + b"\n", "scores.csv"), told, by="folder", now=LATER)
    assert not later.again  # another table is another measurement, though its rows bear the same names


def test_what_was_put_away_can_be_brought_back_and_what_is_filed_cannot_be_put_away(
    stocked: Workbench,
) -> None:
    came = come_in(stocked, b"no log")
    put_away(stocked, came.id, note="a stray file", by="browser", now=LATER)
    with pytest.raises((BadLog, BadRecord)):
        land(stocked, came, filing(), by="folder", now=LATER)
    assert arrivals.waiting(stocked) == ()
    bring_back(stocked, came.id, by="browser", now=LATER)
    assert [each for each, _ in arrivals.waiting(stocked)] == [came]
    filed = come_in(stocked, log())
    land(stocked, filed, filing(), by="folder", now=LATER)
    with pytest.raises(BadRecord, match="it was filed as Wren, Salt Causeway, run 4 meanwhile"):
        put_away(stocked, filed.id, note="", by="phone", now=LATER)


def test_an_import_of_the_folder_takes_nothing_from_what_landed_beside_it(
    stocked: Workbench, tmp_path: Path
) -> None:
    run = landed(stocked, log()).run.run.id
    score = land_score(stocked, filing(test="render", score=12.1), by="browser", now=LATER).run.run.id
    report = import_folder(stocked, tmp_path / "study", now=LATER)
    assert (report.same, report.new, report.not_named) == (18, 0, ())
    assert run_store.not_named(stocked, STUDY) == frozenset()
    assert {run, score} <= {each.run.id for each in load_study(stocked, STUDY).runs}


def test_a_run_that_its_folder_named_no_longer_is_named_again_when_it_lands(
    stocked: Workbench, tmp_path: Path
) -> None:
    gone = small_folder().without("wren causeway 1")
    import_folder(stocked, gone.write(tmp_path / "fewer"), now=LATER)
    assert len(run_store.not_named(stocked, STUDY)) == 1
    whole = small_folder()
    found = landed(stocked, whole.files[whole.run("wren causeway 1")["log"]])
    assert found.again
    assert run_store.not_named(stocked, STUDY) == frozenset()


def test_a_run_without_a_name_of_its_own_is_called_as_the_bench_calls_it(stocked: Workbench) -> None:
    made = landed(stocked, log()).run
    record = load_study(stocked, STUDY)
    assert made.run.label == run_named(record, record.run(made.run.id)) == "Wren, Salt Causeway, run 4"


def test_two_setups_of_one_build_are_called_by_their_own_names(stocked: Workbench) -> None:
    study, wren = shelves.one(stocked, Study, STUDY), shelves.one(stocked, Setup, "wren")
    shelves.save(stocked, replace(wren, key="mild", name="Wren, mild"), now=NOW)
    shelves.save(stocked, replace(study, setups=(*study.setups, "mild")), now=NOW)
    assert landed(stocked, log(), setup="mild").run.run.label == "Wren, mild, Salt Causeway, run 1"
