"""A study put away while a rig runs for it: what the rig made is kept, it is told so, and all lands later."""

from __future__ import annotations

import threading
from pathlib import Path

from tests.rig.conftest import NOW, joined, send_home
from tests.web.looking import Served

from evenhand.desk.bench.planning import plan_now
from evenhand.desk.on_record import load_study
from evenhand.desk.study.away import bring_study_back, put_study_away
from evenhand.desk.study.away_waiting import land_waiting
from evenhand.rig import session


def test_a_run_made_meanwhile_waits_and_lands_under_its_slot(served: Served, tmp_path: Path) -> None:
    rig = joined(served, tmp_path / "rig")
    wanted = session.next_run(rig)["run"]
    assert wanted
    put_study_away(served.wb, "lab", note="lent out", by="this computer", now=NOW)
    session.make_scripted(rig, wanted, stop=threading.Event())
    told = send_home(rig)  # everything is acknowledged: nothing is left in the spool
    assert "its study, “Two rigs”, is put away since" in told[-1].told["waits"]
    assert load_study(served.wb, "lab").runs == ()
    assert list(rig.state.spool.parcels()) == []

    resting = session.next_run(rig)
    assert resting["run"] is None
    assert "“Two rigs” is put away since" in resting["words"]
    assert "lent out" in resting["words"]

    bring_study_back(served.wb, "lab", by="this computer", now=NOW)
    assert land_waiting(served.wb, "lab", by="this computer", now=NOW, watch=lambda *_: None) == (1, 0)
    (each,) = load_study(served.wb, "lab").runs
    assert (each.run.score, each.run.setup, each.run.boot) == (41.5, wanted["setup"], wanted["boot"])
    assert each.run.sensors is not None
    plan = plan_now(served.wb, "lab")
    assert plan is not None
    assert plan.slots[0].run == each.run.id
    following = session.next_run(rig)["run"]
    assert following is not None
    assert following["slot"] != wanted["slot"]
