"""What held where something failed that asks less of the part: told together, or not put forward."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest
from tests.desk.tuning.small_chip import TRIAL, tried, walked

from evenhand.desk.names import names_of
from evenhand.desk.on_record import load_study
from evenhand.desk.pages.tuning import Looked, tuning_page
from evenhand.desk.publication.tuning_rows import said_row
from evenhand.desk.tuning.answers import now_answer
from evenhand.desk.tuning.doubts_said import doubt_said
from evenhand.desk.tuning.scenes import claim_scene, claimed_point
from evenhand.desk.tuning.series import one_series
from evenhand.desk.tuning.standing import TuningNow, tuning_now
from evenhand.publish.figures.tuning.claim_bar import claim_bar
from evenhand.publish.style import page, phone
from evenhand.store.workbench import Workbench
from evenhand.tuning.advice import Withheld
from evenhand.tuning.doubts import Doubt

HELD: dict[str, Any] = {**TRIAL, "clock_mhz": 5050.0, "voltage_mv": 1025.0, "hours": 2.0}
EASIER: dict[str, Any] = {**TRIAL, "clock_mhz": 5050.0, "voltage_mv": 1045.0}
TOLD = "though 5,050 MHz at 1,045 mV, which asks less of the part, failed once in 24 h 30 min"


def now(wb: Workbench) -> TuningNow:
    return tuning_now(one_series(wb, "wren", "processor"))


def plain(words: str) -> str:
    return words.replace("\u00a0", " ")


@pytest.fixture
def failed(bench: Workbench) -> Workbench:
    """A point that held 24 h and then crashed, and a harder one that held two: nothing is advised by them."""
    crashed = {**EASIER, "hours": 0.5, "outcome": "crash"}
    tried(bench, [*walked(), HELD, {**EASIER, "hours": 24.0}, crashed])
    return bench


def test_the_point_that_failed_stays_the_claim_and_its_failure_is_told(failed: Workbench) -> None:
    found = now(failed)
    at = claimed_point(found)
    assert at is not None
    assert (at.clock_mhz, at.voltage_mv, at.claim.failures) == (5050.0, 1045.0, 1)
    shown = tuning_page(failed, "quay", Looked())
    assert "no failure" not in shown.answer
    assert "24 h 30 min of integers at 24 °C one failure" in plain(shown.answer)
    assert shown.part is not None
    assert shown.part.claim is not None
    assert plain(shown.part.claim.may).startswith("one failure in 24 h 30 min of integers")
    assert said_row(found)["claim"]["failures"] == 1


def test_what_held_beside_it_tells_that_failure_in_the_same_breath(failed: Workbench) -> None:
    points = {(each["clock_mhz"], each["voltage_mv"]): each for each in now_answer(now(failed))["points"]}
    claim = points[5050.0, 1025.0]["claim"]
    assert TOLD in plain(claim["words"])
    assert TOLD in plain(claim["may"])
    assert (claim["against"]["voltage_mv"], claim["against"]["hours"]) == (1045.0, 24.5)
    shown = tuning_page(failed, "quay", Looked())
    assert shown.part is not None
    assert TOLD in plain(dict(shown.part.points)["5,050\u00a0MHz at 1,025\u00a0mV"])
    assert points[5000.0, 1050.0]["claim"]["against"] is None, "stock asks less than all that failed"


def test_the_hours_and_their_picture_of_a_point_put_forward_tell_it_too(bench: Workbench) -> None:
    tried(bench, [*walked(), HELD])
    before = claimed_point(now(bench))
    assert before is not None
    assert (before.clock_mhz, before.voltage_mv) == (5050.0, 1025.0)
    tried(bench, [{**EASIER, "hours": 0.01, "outcome": "crash"}])
    after = claimed_point(now(bench))
    assert after is not None
    assert (after.clock_mhz, after.voltage_mv) == (5000.0, 1050.0), (
        "back to stock, which nothing speaks against"
    )
    at = next(each for each in now(bench).points if each.voltage_mv == 1025.0 and each.clock_mhz == 5050.0)
    scene = claim_scene(now(bench))
    assert scene is not None
    assert scene.against is None
    harder = replace(scene, clock_mhz=5050.0, voltage_mv=1025.0, trials=at.trials, against=at.claim.against)
    names = names_of(load_study(bench, "quay"))
    for style in (page(), phone()):
        title = plain(claim_bar(harder, names, style=style).title)
        assert title.startswith("No failure in 2 h")
        assert "though" in title


def test_the_doubt_of_what_no_voltage_cures_names_the_trial(failed: Workbench) -> None:
    tried(failed, [{**EASIER, "voltage_mv": 1200.0, "hours": 0.5, "outcome": "crash"}] * 2)
    found = now(failed)
    assert found.wanted is not None
    assert found.wanted.advice.withheld is Withheld.NOT_CURED
    for readers in (False, True):
        said = plain(doubt_said(Doubt.NOT_CURED, found, readers=readers))
        assert "5,050 MHz at 1,200 mV, integers: crashed or hung after 30 min" in said
