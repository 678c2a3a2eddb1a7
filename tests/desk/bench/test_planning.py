"""A plan on the workbench: made, followed, noted and skipped, planned anew when a rig drops out."""

from __future__ import annotations

from dataclasses import replace
from hashlib import sha256
from pathlib import Path

import pytest
from tests.desk.small_folder import LATER, NOW, Folder

from evenhand.desk.bench.plan_needs import Terms, bench_of, minutes_by_test, pace_of
from evenhand.desk.bench.plan_standing import PlanNow, SlotNow, SlotState
from evenhand.desk.bench.planning import laid_out, make_plan, note, plan_now, replan, skip, unskip
from evenhand.desk.logs.importing import import_folder
from evenhand.desk.on_record import load_study
from evenhand.desk.runs.deciding import set_aside
from evenhand.desk.runs.said import Said
from evenhand.errors import BadRecord, NotFound
from evenhand.metrics.run_metrics import RunMetrics
from evenhand.plans.laying import Pace
from evenhand.records.faults import Fault, Severity
from evenhand.records.plans import Arrival, Placing, Plan, Slot
from evenhand.records.runs import Reason, Run
from evenhand.store import arrivals, faults, metrics, originals, runs
from evenhand.store.workbench import Workbench

STUDY = "quay"
FIVE = Terms(looks=(5,))


def planned(wb: Workbench, terms: Terms = FIVE) -> Plan:
    return make_plan(wb, STUDY, terms, seed=4, now=NOW)


def now(wb: Workbench) -> PlanNow:
    standing = plan_now(wb, STUDY)
    assert standing is not None
    return standing


def score(wb: Workbench, slot: Slot, value: float) -> str:
    """A run of the slot's test and setup with a score, as a person writes one down."""
    key = f"run-{slot.number}"
    test = load_study(wb, STUDY).tests[slot.test]
    run = Run(
        id=key, study=STUDY, test=slot.test, setup=slot.setup, label=key, score=value, boot=slot.boot,
        order=slot.order,
    )  # fmt: skip
    with wb.writing():
        runs.save_run(wb, run, now=NOW)
        metrics.save_metrics(wb, key, RunMetrics(values={test.metric: value}), code_version="t", now=NOW)
        faults.save_faults(wb, key, (), code_version="t", now=NOW)
    return key


def states(standing: PlanNow) -> list[SlotState]:
    return [each.state for each in standing.slots]


def test_a_study_without_a_plan_has_none(stocked: Workbench) -> None:
    assert plan_now(stocked, STUDY) is None


def test_a_plan_holds_the_runs_that_are_lacking(stocked: Workbench) -> None:
    plan = planned(stocked)
    assert plan.id > 0
    assert plan.looks == (5,)
    cells = [(slot.test, slot.setup) for slot in plan.slots]
    assert len(cells) == 3 * 2 * 2  # three tests, two setups, two runs more than the three on record
    assert all(cells.count(cell) == 2 for cell in cells)


def test_its_boots_and_orders_follow_those_on_record(stocked: Workbench) -> None:
    plan = planned(stocked)
    assert {slot.boot for slot in plan.slots} == {"wren-4", "wren-5", "plover-4", "plover-5"}
    last = max(each.run.order or 0 for each in load_study(stocked, STUDY).runs)
    assert [slot.order for slot in plan.slots] == list(range(last + 1, last + 1 + len(plan.slots)))


def test_a_study_with_all_its_runs_needs_no_plan(stocked: Workbench) -> None:
    with pytest.raises(BadRecord, match="every test is settled or has 3 runs"):
        planned(stocked, Terms(looks=(3,)))


def test_where_the_runs_on_record_settle_every_test_it_says_so_and_not_that_they_are_enough(
    stocked: Workbench,
) -> None:
    said = "with looks at 3, 5 and 8 runs of each the runs on record, 3 of each, settle every test"
    with pytest.raises(BadRecord, match=said):
        planned(stocked, Terms(looks=(3, 5, 8), tests=("causeway",)))


def test_a_plan_needs_two_setups_and_a_test(stocked: Workbench) -> None:
    with pytest.raises(BadRecord, match="two setups"):
        planned(stocked, Terms(setups=("wren",)))
    with pytest.raises(BadRecord, match="a test"):
        planned(stocked, Terms(tests=("nothing",)))


def open_plan(wb: Workbench) -> PlanNow:
    """A plan of the scores alone, which are unsettled: every slot is open."""
    planned(wb, Terms(looks=(5, 8), tests=("render",)))
    return now(wb)


def test_the_first_slot_is_due_and_each_rig_has_its_next(stocked: Workbench) -> None:
    standing = open_plan(stocked)
    first = standing.slots[0]
    assert standing.due == (first,)
    assert first.state is SlotState.NEXT
    other = standing.next_on("plover" if first.rig == "wren" else "wren")
    assert other is not None
    assert (other.state, other.due) == (SlotState.NEXT, False)
    assert standing.next_on("nobody") is None
    assert states(standing).count(SlotState.LATER) == len(standing.slots) - 2


def test_a_run_of_the_slots_boot_fills_it(stocked: Workbench) -> None:
    first = open_plan(stocked).slots[0]
    run = score(stocked, first.slot, 11.0)
    filled = now(stocked)
    assert (filled.slots[0].state, filled.slots[0].run) == (SlotState.DONE, run)
    assert filled.due[0].slot == filled.slots[1].slot
    assert filled.minutes_left == pytest.approx(sum(s.slot.minutes for s in filled.slots[1:]))


def test_a_run_in_doubt_holds_nothing_up(stocked: Workbench) -> None:
    first = open_plan(stocked).slots[0]
    run = score(stocked, first.slot, 11.0)
    odd = Fault(kind="odd", title="Odd", severity=Severity.IN_DOUBT, evidence="odd", todo="look")
    faults.save_faults(stocked, run, (odd,), code_version="t", now=NOW)
    standing = now(stocked)
    assert standing.slots[0].state is SlotState.IN_DOUBT
    assert standing.due[0].slot.number == standing.slots[1].slot.number


def test_a_run_set_aside_opens_its_slot_again_and_says_why(stocked: Workbench) -> None:
    first = open_plan(stocked).slots[0]
    run = file_under(stocked, first)
    set_aside(stocked, run, reason=Reason.INTERRUPTED, said=Said(note="", now=LATER))
    standing = now(stocked)
    assert standing.due[0].slot == first.slot
    assert standing.due[0].why == "the run made of it was set aside: run it again"


def file_under(wb: Workbench, place: SlotNow, plan: int | None = None) -> str:
    """A run filed under a slot by an arrival, as logs are that come in by themselves."""
    run = score(wb, replace(place.slot, boot="elsewhere"), 11.0)
    data = f"log of {run}".encode()
    digest = sha256(data).hexdigest()
    originals.keep(wb, data, name="a.csv", digest=digest)
    came = arrivals.add_arrival(wb, Arrival(digest=digest, name="a.csv", by="folder", at=NOW))
    standing = now(wb)
    arrivals.add_placing(
        wb,
        Placing(
            arrival=came.id, study=STUDY, by="folder", at=NOW, run=run, plan=plan or standing.plan.id,
            slot=place.slot.number,
        ),
    )  # fmt: skip
    return run


def test_a_run_filed_under_a_slot_fills_it_whatever_its_boot(stocked: Workbench) -> None:
    second = open_plan(stocked).slots[1]
    run = file_under(stocked, second)
    assert (now(stocked).slots[1].state, now(stocked).slots[1].run) == (SlotState.DONE, run)


def test_a_skipped_slot_says_why_and_the_skip_can_be_taken_back(stocked: Workbench) -> None:
    standing = open_plan(stocked)
    number = standing.slots[0].slot.number
    skip(stocked, standing.plan.id, number, "the licence ran out", by="phone", now=NOW)
    first = now(stocked).slots[0]
    assert (first.state, first.why) == (SlotState.SKIPPED, "the licence ran out")
    unskip(stocked, standing.plan.id, number, by="phone", now=LATER)
    assert now(stocked).slots[0].state is SlotState.NEXT


def test_a_skip_without_a_reason_is_refused(stocked: Workbench) -> None:
    standing = open_plan(stocked)
    with pytest.raises(BadRecord, match="without a reason"):
        skip(stocked, standing.plan.id, 1, "  ", by="phone", now=NOW)


def test_a_reading_is_kept_as_a_number_however_it_was_written(stocked: Workbench) -> None:
    standing = open_plan(stocked)
    note(stocked, standing.plan.id, 1, "ambient_c", "23,4 °C", by="phone", now=NOW)
    assert now(stocked).slots[0].notes == {"ambient_c": "23.4"}
    note(stocked, standing.plan.id, 1, "ambient_c", "", by="phone", now=LATER)
    assert now(stocked).slots[0].notes == {}


@pytest.mark.parametrize("value", ["warm", "412", "nan", "1.2.3.4e9"])
def test_what_is_no_temperature_is_refused(stocked: Workbench, value: str) -> None:
    standing = open_plan(stocked)
    with pytest.raises(BadRecord, match="is no room temperature"):
        note(stocked, standing.plan.id, 1, "ambient_c", value, by="phone", now=NOW)


def test_a_room_beyond_the_studys_band_is_kept_and_doubted(stocked: Workbench) -> None:
    standing = open_plan(stocked)
    noted = note(stocked, standing.plan.id, 1, "ambient_c", "27.5", by="phone", now=NOW)
    assert "outside 22 to 26" in noted.doubt
    assert now(stocked).slots[0].notes == {"ambient_c": "27.5"}


def test_a_wall_reading_far_below_the_rigs_others_asks_for_a_missing_digit(stocked: Workbench) -> None:
    standing = open_plan(stocked)
    rig = standing.slots[0].rig
    own = [each.slot.number for each in standing.slots if each.rig == rig]
    for number in own[:2]:
        assert not note(stocked, standing.plan.id, number, "wall_w", "301", by="phone", now=NOW).doubt
    doubt = note(stocked, standing.plan.id, own[2], "wall_w", "31", by="phone", now=NOW).doubt
    assert doubt.endswith("Is a digit missing?")
    other = next(each.slot.number for each in standing.slots if each.rig != rig)
    assert not note(stocked, standing.plan.id, other, "wall_w", "31", by="phone", now=NOW).doubt


def test_notes_beside_nothing_are_refused(stocked: Workbench) -> None:
    standing = open_plan(stocked)
    with pytest.raises(NotFound, match="no slot 999"):
        note(stocked, standing.plan.id, 999, "note", "x", by="phone", now=NOW)
    with pytest.raises(BadRecord, match="nothing to note"):
        note(stocked, standing.plan.id, 1, "mood", "x", by="phone", now=NOW)


def test_tests_that_settled_at_a_look_ask_for_no_more(wb: Workbench, folder: Folder, tmp_path: Path) -> None:
    third = [run["label"] for run in folder.runs if run["label"].endswith("3")]
    import_folder(wb, folder.without(*third).write(tmp_path / "study"), now=NOW)
    planned(wb, Terms(looks=(3, 5)))
    for each in now(wb).slots:
        if each.slot.block == 3:
            score(wb, each.slot, {"wren": 100.0, "plover": 125.0}[each.slot.setup])
    later = [each for each in now(wb).slots if each.slot.test == "causeway" and each.slot.block > 3]
    assert [each.state for each in later] == [SlotState.SETTLED] * 4
    assert {each.why for each in later} == {"settled at the look at 3 runs"}


def test_what_is_settled_already_is_not_planned_for(stocked: Workbench) -> None:
    with pytest.raises(BadRecord, match="settle every test"):
        planned(stocked, Terms(looks=(3, 5)))


def test_planning_anew_keeps_what_is_done_and_lays_out_the_rest_in_fresh_boots(stocked: Workbench) -> None:
    standing = open_plan(stocked)
    run = file_under(stocked, standing.slots[0])
    skip(stocked, standing.plan.id, standing.slots[1].slot.number, "spilt tea", by="phone", now=NOW)
    made = replan(stocked, STUDY, seed=9, now=LATER)
    again = now(stocked)
    assert again.plan == made
    assert [each.slot for each in again.slots[:2]] == [each.slot for each in standing.slots[:2]]
    assert (again.slots[0].run, again.slots[1].state) == (run, SlotState.SKIPPED)
    rest = again.slots[2:]
    assert len(rest) == len(standing.slots) - 2
    earlier = {each.slot.number for each in standing.slots}, {each.slot.boot for each in standing.slots}
    assert not {each.slot.number for each in rest} & earlier[0]
    assert not {each.slot.boot for each in rest} & earlier[1]


def test_a_plan_nobody_followed_leaves_no_numbers_behind(stocked: Workbench) -> None:
    first, second = planned(stocked), planned(stocked)
    assert second.slots == first.slots
    assert second.id != first.id


def test_planning_anew_what_nobody_followed_begins_where_that_began(stocked: Workbench) -> None:
    first = open_plan(stocked).plan
    again = replan(stocked, STUDY, seed=9, now=LATER)
    for field in ("number", "block", "order", "turn"):
        begun = [min(getattr(slot, field) for slot in plan.slots) for plan in (first, again)]
        assert begun[0] == begun[1]
    assert {slot.boot for slot in again.slots} == {slot.boot for slot in first.slots}


def test_of_several_plans_only_those_that_were_followed_keep_their_numbers(stocked: Workbench) -> None:
    standing = open_plan(stocked)
    file_under(stocked, standing.slots[0])
    unused = replan(stocked, STUDY, seed=9, now=LATER)
    again = replan(stocked, STUDY, seed=10, now=LATER)
    assert again.slots[0] == unused.slots[0]  # the one that is done
    assert {slot.number for slot in again.slots} == {slot.number for slot in unused.slots}


def test_planning_anew_needs_a_plan_and_two_setups(stocked: Workbench) -> None:
    with pytest.raises(NotFound, match="has no plan"):
        replan(stocked, STUDY, seed=9, now=LATER)
    open_plan(stocked)
    with pytest.raises(BadRecord, match="fewer than two setups"):
        replan(stocked, STUDY, seed=9, now=LATER, without=("wren",))


def test_rigs_at_once_are_both_due(stocked: Workbench) -> None:
    planned(stocked, Terms(looks=(5, 8), tests=("render",), pace=Pace(at_once=2)))
    standing = now(stocked)
    assert {each.rig for each in standing.due} == {"wren", "plover"}
    again = replan(stocked, STUDY, seed=1, now=LATER)
    assert again.slots[0].turn == again.slots[1].turn


def test_a_rig_that_drops_out_is_planned_without_and_may_come_back(
    wb: Workbench, folder: Folder, tmp_path: Path
) -> None:
    folder.document["builds"].append({"key": "dunlin", "name": "Dunlin", "slot": 3})
    folder.document["setups"].append({"key": "dunlin", "build": "dunlin"})
    import_folder(wb, folder.write(tmp_path / "study"), now=NOW)
    standing = open_plan(wb)
    assert {each.rig for each in standing.slots} == {"wren", "plover", "dunlin"}
    file_under(wb, standing.slots[0])
    without = replan(wb, STUDY, seed=2, now=LATER, without=("dunlin",))
    assert {slot.setup for slot in without.slots[1:]} == {"wren", "plover"}
    assert without.note == "planned anew without Dunlin"
    back = replan(wb, STUDY, seed=3, now=LATER)
    lacking = [slot for slot in back.slots if slot.setup == "dunlin"]
    assert len(lacking) == 8


def test_the_same_seed_gives_the_same_plan(stocked: Workbench) -> None:
    record = load_study(stocked, STUDY)
    one, same, other = (laid_out(record, FIVE, seed=seed, now=NOW) for seed in (1, 1, 2))
    assert one.slots == same.slots
    assert one.slots != other.slots


@pytest.mark.parametrize("minutes", [0.0, 1.5, 7.0])
@pytest.mark.parametrize("tests", [(), ("render",)])
def test_what_a_restart_takes_is_not_forgotten(
    stocked: Workbench, minutes: float, tests: tuple[str, ...]
) -> None:
    terms = Terms(looks=(5, 8), tests=tests, pace=Pace(reboot=minutes, warm_up=1.0))
    made, record = planned(stocked, terms), load_study(stocked, STUDY)
    assert pace_of(made, bench_of(record)).reboot == minutes
    again = replan(stocked, STUDY, seed=5, now=LATER)
    assert pace_of(again, bench_of(record)).reboot == minutes


def test_one_more_run_is_told_to_take_what_the_plan_counts_for_one_in_a_fresh_boot(
    stocked: Workbench,
) -> None:
    plan = planned(stocked, Terms(looks=(9,)))
    told = minutes_by_test(load_study(stocked, STUDY), plan)
    first = {slot.boot: slot for slot in reversed(plan.slots)}
    assert [told[slot.test] for slot in first.values()] == pytest.approx([s.minutes for s in first.values()])


def test_of_rigs_that_run_at_once_a_run_of_each_takes_as_long_as_one(stocked: Workbench) -> None:
    alone = minutes_by_test(load_study(stocked, STUDY), planned(stocked, Terms(looks=(9,))))
    both = planned(stocked, Terms(looks=(9,), pace=Pace(at_once=2)))
    told = minutes_by_test(load_study(stocked, STUDY), both)
    assert told == pytest.approx({test: minutes / 2 for test, minutes in alone.items()})
