"""Runs by the conditions they were made under: what counts as a change, and which setups are one machine."""

from __future__ import annotations

from pathlib import Path

from tests.desk.swapped_folder import Made, swapped

from evenhand.desk.comparison.periods import Times, anchors_of, times_of, under_of
from evenhand.desk.logs.importing import import_folder
from evenhand.desk.on_record import load_study
from evenhand.desk.opening import present
from evenhand.store.workbench import Workbench

OLD, NEW = {"driver": "1", "power plan": "even"}, {"driver": "2", "power plan": "even"}
LOGS = {"quay": 4.0}


def times(wb: Workbench, tmp_path: Path, *setups: Made) -> Times:
    import_folder(wb, swapped(*setups).write(tmp_path / "study"), now=present())
    return times_of(load_study(wb, "mole"))


def test_one_set_of_conditions_is_one_period(wb: Workbench, tmp_path: Path) -> None:
    found = times(
        wb, tmp_path, Made(key="tern", logs=LOGS, stamps=OLD), Made(key="gull", logs=LOGS, stamps=OLD)
    )
    assert (found.changed, len(found.periods)) == ((), 1)
    assert anchors_of(found) == ()


def test_two_setups_of_one_build_that_differ_in_driver_alone_are_one_machine(
    wb: Workbench, tmp_path: Path
) -> None:
    before = Made(key="tern", logs=LOGS, stamps=OLD)
    after = Made(key="tern-2", build="tern", logs=LOGS, stamps=NEW, day=3)
    found = times(wb, tmp_path, before, after)
    assert found.machines == {"tern": "tern", "tern-2": "tern"}
    assert [period.name for period in found.periods] == ["driver 1", "driver 2"]
    assert anchors_of(found) == ("tern",)


def test_another_clock_is_another_machine(wb: Workbench, tmp_path: Path) -> None:
    slow = Made(key="tern", logs=LOGS, stamps={**OLD, "graphics clock": "2000 MHz"})
    fast = Made(key="tern-2", build="tern", logs=LOGS, stamps={**NEW, "graphics clock": "2200 MHz"})
    found = times(wb, tmp_path, slow, fast)
    assert found.machines == {"tern": "tern", "tern-2": "tern-2"}
    assert anchors_of(found) == ()


def test_a_driver_that_differs_between_machines_parts_them_and_a_power_plan_does_not(
    wb: Workbench, tmp_path: Path
) -> None:
    tern = Made(key="tern", logs=LOGS, stamps={"driver": "1", "power plan": "even"})
    gull = Made(key="gull", logs=LOGS, stamps={"driver": "2", "power plan": "high"})
    assert times(wb, tmp_path, tern, gull).changed == ("driver",)


def test_a_driver_that_one_side_does_not_say_parts_nothing(wb: Workbench, tmp_path: Path) -> None:
    tern = Made(key="tern", logs=LOGS, stamps=OLD)
    gull = Made(key="gull", logs=LOGS, stamps={"power plan": "even"})
    assert times(wb, tmp_path, tern, gull).changed == ()


def test_a_setup_is_under_the_conditions_of_its_own_runs_and_joined_by_who_was_run_under_more(
    wb: Workbench, tmp_path: Path
) -> None:
    made = (
        Made(key="tern", logs=LOGS, stamps=OLD),
        Made(key="tern-2", build="tern", logs=LOGS, stamps=NEW, day=3),
        Made(key="gull", logs=LOGS, stamps=OLD),
    )
    import_folder(wb, swapped(*made).write(tmp_path / "study"), now=present())
    record = load_study(wb, "mole")
    found = under_of(record, "quay", "gull", record.tests["quay"].metric)
    assert found
    assert (found.machine, found.names, found.changed, found.of) == ("gull", ("driver 1",), ("driver",), ())
    (leads,) = found.joined
    assert (leads.machine, leads.here, leads.there) == ("tern", "driver 1", "driver 2")
    runs = {each.run.id: each.run.setup for each in record.runs}
    assert {runs[o.run] for o in leads.beside} == {"tern"}
    assert {runs[o.run] for o in leads.across} == {"tern-2"}
    later = under_of(record, "quay", "tern-2", record.tests["quay"].metric)
    assert later
    assert (later.machine, later.names) == ("tern", ("driver 2",))
    assert [(j.machine, j.here, j.there) for j in later.joined] == [("tern", "driver 2", "driver 1")]


def test_a_number_that_the_bridge_does_not_have_is_bridged_by_nobody(wb: Workbench, tmp_path: Path) -> None:
    made = (
        Made(key="tern", logs=LOGS, stamps=OLD),
        Made(key="tern-2", build="tern", logs=LOGS, stamps=NEW, day=3),
        Made(key="gull", logs=LOGS, stamps=OLD),
    )
    import_folder(wb, swapped(*made).write(tmp_path / "study"), now=present())
    found = under_of(load_study(wb, "mole"), "quay", "gull", "wall_w")
    assert found
    assert found.joined == ()


def test_bench_days_are_sessions(wb: Workbench, tmp_path: Path) -> None:
    found = times(wb, tmp_path, Made(key="tern", logs=LOGS, days=5), Made(key="gull", logs=LOGS))
    assert sorted(session.cell.setup for session in found.sessions) == ["gull", *["tern"] * 5]
