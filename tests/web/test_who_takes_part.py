"""The bench page lists the rigs that may make runs of its study."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

import pytest
from playwright.sync_api import Page, expect
from starlette.testclient import TestClient
from tests.web.conftest import NOW, serving
from tests.web.spring import BENCH, due

from evenhand.desk.bench.admitting import admit
from evenhand.desk.opening import Desk
from evenhand.records.devices import Scope
from evenhand.records.studies import Study
from evenhand.store import shelves
from evenhand.web.rigs import Cost, Rigs


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


SLOT = (1, 5)


def heard(*, ended: bool = False, slot: tuple[int, int] | None = SLOT) -> Rigs:
    """A rig that was heard at NOW, and not since."""
    rigs = Rigs()
    rigs.hello("left", "left rig", {}, now=NOW)
    rigs.here("left", "left rig", slot, cost=Cost(), now=NOW)
    if ended:
        rigs.leave("left", "left rig", now=NOW)
    return rigs


@pytest.mark.parametrize(
    ("slot", "ended", "after_s", "here", "quiet_s"),
    [
        (SLOT, False, 39, True, None),
        (SLOT, False, 44, True, 44),
        (SLOT, False, 899, True, 899),
        (SLOT, False, 901, False, 901),
        (None, False, 89, True, 89),
        (None, False, 91, False, 91),
        (SLOT, True, 5, True, 5),
        (SLOT, True, 91, False, 91),
    ],
)
def test_a_rig_is_awaited_as_long_as_its_run_is_kept_for_it(
    slot: tuple[int, int] | None, ended: bool, after_s: int, here: bool, quiet_s: int | None
) -> None:
    rigs, later = heard(ended=ended, slot=slot), NOW + timedelta(seconds=after_s)
    (rig,) = rigs.all()
    assert (rig.here(later), rig.quiet_s(later)) == (here, quiet_s)
    kept = slot is not None and not ended and after_s < 900
    assert rigs.taken_by_others("right", now=later) == (frozenset({SLOT}) if kept else frozenset())


def test_who_comes_goes_or_gets_another_run_is_a_change_and_who_says_the_same_again_is_none() -> None:
    rigs = Rigs()

    def changes_by(act: str, *given: object, after_s: float = 0, **told: object) -> int:
        before = rigs.changes
        getattr(rigs, act)("left", "left rig", *given, now=NOW + timedelta(seconds=after_s), **told)
        return rigs.changes - before

    assert changes_by("hello", {}) == 1
    assert changes_by("take", SLOT) == 1
    assert changes_by("take", SLOT) == 0
    assert changes_by("here", SLOT, cost=Cost(), after_s=30) == 0
    assert changes_by("here", None, cost=Cost(), after_s=60) == 0
    assert changes_by("here", SLOT, cost=Cost(), after_s=200) == 1  # it was missed
    assert changes_by("leave", after_s=201) == 1


def test_of_a_rig_that_says_nothing_any_more_it_is_said_how_long_and_what_becomes_of_its_run(
    planned: Desk, bench: TestClient
) -> None:
    place = {key: int(value) for key, value in due(planned).items()}
    rigs = bench.app.state.rigs  # type: ignore[attr-defined]
    rigs.here(
        "left", "left rig", (place["plan"], place["slot"]), cost=Cost(), now=NOW - timedelta(seconds=44)
    )
    rigs.hello("right", "right rig", {}, now=NOW - timedelta(seconds=5))
    rigs.leave("gone", "third rig", now=NOW - timedelta(seconds=70))
    for there in (BENCH, f"{BENCH}/rigs"):
        text = bench.get(there).text.replace("\u00a0", " ")
        assert "<b>left rig</b> has run 1, last heard of 44 s ago. Run 1 comes again once it is back" in text
        assert "after 15 min another rig may have it" in text
        assert "<b>right rig</b> waits <small>" in text
        assert "<b>third rig</b> takes part no longer, last heard of 1 min ago <small>" in text


def test_an_open_bench_follows_a_rig_that_joins_and_one_that_leaves(page: Page, planned: Desk) -> None:
    with serving(planned) as served:
        page.goto(f"{served.url}{BENCH}")
        expect(page.locator("#rigs")).to_contain_text("No rig is connected")
        page.wait_for_timeout(600)
        hello = page.request.post(f"{served.url}/api/rig/hello", data={"version": "1"})
        assert hello.ok
        expect(page.locator("#rigs")).to_contain_text("waits", timeout=5000)
        page.request.post(f"{served.url}/api/rig/here", data={"ended": True})
        expect(page.locator("#rigs")).to_contain_text("takes part no longer", timeout=5000)
