"""The bench page lists the rigs that may make runs of its study."""

from __future__ import annotations

from dataclasses import replace

from starlette.testclient import TestClient
from tests.web.conftest import NOW

from evenhand.desk.admitting import admit
from evenhand.desk.opening import Desk
from evenhand.records.devices import Scope
from evenhand.records.studies import Study
from evenhand.store import shelves


def test_a_rig_of_a_build_that_is_not_in_the_study_is_not_listed(wb: Desk, client: TestClient) -> None:
    whole = shelves.one(wb, Study, "saltmarsh")
    alone = tuple(key for key in whole.setups if not key.startswith("wren"))
    shelves.save(wb, replace(whole, key="spring", title="Spring", setups=alone), now=NOW)
    rigs = client.app.state.rigs  # type: ignore[attr-defined]
    for name, build in (("wren rig", "wren"), ("rig of all", None)):
        device = admit(wb, name=name, scope=Scope.RIG, build=build, now=NOW).device
        rigs.hello(device.id, name, {}, now=NOW)
    rigs.hello("this computer", "this computer", {}, now=NOW)
    there = client.get("/studies/saltmarsh/bench").text
    assert "<b>wren rig</b>" in there
    spring = client.get("/studies/spring/bench").text
    assert "<b>wren rig</b>" not in spring
    assert "<b>rig of all</b>" in spring
    assert "<b>this computer</b>" in spring
