"""A bench day over the network: hello, the next run, its score and sensors landed under its slot, once."""

from __future__ import annotations

import shutil
import threading
from dataclasses import replace
from pathlib import Path

import pytest
from tests.rig.conftest import NOW, joined, machine, send_home
from tests.web.conftest import serving
from tests.web.looking import Served

from evenhand.desk.bench.admitting import admit
from evenhand.desk.bench.planning import plan_now
from evenhand.desk.on_record import load_study
from evenhand.desk.opening import Desk
from evenhand.records.devices import Scope
from evenhand.rig import session
from evenhand.rig.asking import Address, Unreachable
from evenhand.rig.readings.inventory import Inventory, PartTold, untold
from evenhand.rig.state import State
from evenhand.store import arrivals
from evenhand.store.inventories import inventories


def test_a_scripted_run_lands_under_its_slot_with_its_sensors(served: Served, tmp_path: Path) -> None:
    rig = joined(served, tmp_path / "rig")
    wanted = session.next_run(rig)["run"]
    assert wanted
    assert not session.needs_restart(rig, wanted)
    outcome = session.make_scripted(rig, wanted, stop=threading.Event())
    assert outcome.score == 41.5
    told = send_home(rig)
    (each,) = load_study(served.wb, "lab").runs
    assert (each.run.test, each.run.setup, each.run.score) == ("batch", wanted["setup"], 41.5)
    assert (each.run.boot, each.run.order) == (wanted["boot"], wanted["order"])
    assert each.run.sensors is not None
    assert each.metrics.values["sensor:processor:clock:median"] == pytest.approx(4700.0)
    assert each.run.stamps == {"os": "Tidewater 4"}
    assert told[-1].told["run"] == each.run.id
    plan = plan_now(served.wb, "lab")
    assert plan
    assert plan.slots[0].run == each.run.id


def test_what_the_machine_is_made_of_is_told_when_it_joins(served: Served, tmp_path: Path) -> None:
    card = PartTold(kind="graphics", name="Lantern 40", source="/sys", facts={"lanes": 8})
    made_of = Inventory(parts=(card,), untold=(untold("board", "nobody names it"),))
    state = State(folder=tmp_path / "rig")
    joined(served, tmp_path / "rig")
    assert inventories(served.wb) == (), "a machine that tells nothing is asked about nothing"
    for _ in range(2):
        token = admit(served.wb, name="left bench", scope=Scope.RIG, build="left", now=NOW).token
        address = Address(url=served.url, token=token)
        session.hello(address, state, replace(machine(), inventory=made_of))
    for found in inventories(served.wb):
        assert (found.name, found.build) == ("left bench", "left")
        assert [(part.kind, part.name, dict(part.facts)) for part in found.parts] == [
            ("graphics", "Lantern 40", {"lanes": 8})
        ]
        assert [each.what for each in found.untold] == ["board"]


def test_what_is_sent_twice_is_one_run(served: Served, tmp_path: Path) -> None:
    rig = joined(served, tmp_path / "rig")
    wanted = session.next_run(rig)["run"]
    assert wanted
    session.make_scripted(rig, wanted, stop=threading.Event())
    spool, copy = rig.state.folder / "spool", tmp_path / "copy"
    shutil.copytree(spool, copy)
    send_home(rig)
    shutil.copytree(copy, spool, dirs_exist_ok=True)
    send_home(rig)
    assert len(load_study(served.wb, "lab").runs) == 1


def test_without_the_network_everything_waits_on_disk(lab: Desk, tmp_path: Path) -> None:
    with serving(lab) as served:
        rig = joined(served, tmp_path / "rig")
        wanted = session.next_run(rig)["run"]
        assert wanted
        session.make_scripted(rig, wanted, stop=threading.Event())
    with pytest.raises(Unreachable):
        send_home(rig)
    assert load_study(lab, "lab").runs == ()
    with serving(lab) as again:
        send_home(replace(rig, address=replace(rig.address, url=again.url)))
    assert len(load_study(lab, "lab").runs) == 1


def test_the_plan_asks_for_a_fresh_start_before_another_boot(served: Served, tmp_path: Path) -> None:
    rig = joined(served, tmp_path / "rig")
    wanted = session.next_run(rig)["run"]
    assert wanted
    assert not session.needs_restart(rig, wanted)
    assert not session.needs_restart(rig, wanted)  # still the same start, and the same boot of the plan
    later = {**wanted, "boot": "another"}
    assert session.needs_restart(rig, later)
    restarted = replace(rig, machine=machine("boot-2"))
    assert not session.needs_restart(restarted, later)


def test_its_start_and_the_count_of_its_starts_are_kept_beside_the_run(
    served: Served, tmp_path: Path
) -> None:
    rig = joined(served, tmp_path / "rig")
    wanted = session.next_run(rig)["run"]
    assert wanted
    session.make_scripted(rig, wanted, stop=threading.Event())
    told = send_home(rig)[-1].told
    about = arrivals.arrival(served.wb, told["arrival"]).about
    assert (about["boot_id"], about["boots"]) == ("boot-1", "1")
    (each,) = load_study(served.wb, "lab").runs
    assert each.run.duration_s is not None
    assert 1.2 <= each.run.duration_s < 20


def test_a_rig_is_told_why_it_has_no_run(served: Served, tmp_path: Path) -> None:
    first, second = joined(served, tmp_path / "a"), joined(served, tmp_path / "b")
    assert session.next_run(first)["run"]
    assert session.next_run(second) == {"run": None, "words": "Another rig has its turn first."}
