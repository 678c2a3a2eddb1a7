"""Where trials stand: advice with its reserve or why none, claims, what comes next, doubts."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest
from tests.desk.conftest import Bring
from tests.desk.small_folder import NOW, Folder
from tests.desk.tuning.small_chip import TRIAL, TUNED, lay_limit, tried, walked

from evenhand.demo import trials as planted
from evenhand.desk.latest import Latest
from evenhand.desk.tuning import standing
from evenhand.desk.tuning.answers import now_answer
from evenhand.desk.tuning.coming import next_trial, why_none
from evenhand.desk.tuning.noting import note_tuned, tuned_part
from evenhand.desk.tuning.series import Series, one_series, series_of
from evenhand.desk.tuning.standing import AtPoint, TuningNow, Wanted, tuning_now
from evenhand.errors import NotFound
from evenhand.publish.tuning.advice import DONE, FAILED_THERE
from evenhand.publish.tuning.doubts import STOCK_FAILED
from evenhand.records.trials import Quantity
from evenhand.store.workbench import Workbench
from evenhand.tuning.advice import Withheld
from evenhand.tuning.claims import claim
from evenhand.tuning.doubts import Doubt
from evenhand.tuning.mapping import map_of
from evenhand.tuning.soaking import prospect


def now(wb: Workbench, **asked: Any) -> TuningNow:
    return tuning_now(one_series(wb, "wren", "processor", **asked))


def test_without_a_limit_nothing_is_advised_nothing_comes_next_and_claims_stand(
    bring: Bring, folder: Folder
) -> None:
    wb = bring(folder)
    note_tuned(wb, TUNED, now=NOW)
    assert "note it with its source" in next_trial(wb, "wren", "processor")["why"]
    tried(wb, walked())
    found = now(wb)
    assert (found.advice, found.next, found.doubts) == ((), None, (Doubt.NO_LIMIT,))
    assert found.points[-1].claim.hours == pytest.approx(1 / 6)


def test_the_first_trial_is_stock_itself(bench: Workbench) -> None:
    first = next_trial(bench, "wren", "processor", load="integers")
    assert (first["clock_mhz"], first["voltage_mv"], first["load"]) == (5000.0, 1050.0, "integers")
    assert first["hours"] == pytest.approx(1 / 6)
    assert first["limits"][0]["source"].startswith("Brellow K6")
    assert "backup" in first["caution"]


def test_where_the_voltage_goes_up_by_several_steps_that_is_told_with_the_trial(bench: Workbench) -> None:
    down = ((1045.0, 0.12), (1040.0, 0.05), (1035.0, 0.02))
    failed = [{**TRIAL, "voltage_mv": mv, "hours": h, "outcome": "crash"} for mv, h in down]
    tried(bench, [TRIAL, *failed])
    coming = next_trial(bench, "wren", "processor")
    assert (coming["clock_mhz"], coming["voltage_mv"]) == (5050.0, 1080.0)
    assert coming["words"].replace("\u00a0", " ").partition("expected. ")[2] == (
        "Its voltage lies 30 mV, six steps at once, above the highest tried so far: it follows what the "
        "trials tell of the edge, within the limit, and more voltage asks less of the part. It is more heat "
        "too: watch the temperature, or note trials at the steps between first."
    )
    tried(bench, [{**TRIAL, "clock_mhz": 5050.0, "voltage_mv": 1080.0}])
    assert "at once" not in next_trial(bench, "wren", "processor")["words"]


def test_a_clock_without_a_limit_is_told_as_a_doubt_until_one_is_noted(bench: Workbench) -> None:
    tried(bench, walked())
    told = {each["doubt"]: each["words"] for each in now_answer(now(bench))["doubts"]}
    assert "note it with its source" in told[Doubt.CLOCK_UNLIMITED.value]
    lay_limit(bench, quantity="clock", most=5200.0)
    assert Doubt.CLOCK_UNLIMITED not in now(bench).doubts


def test_every_clock_that_held_has_its_advice_within_the_limit(bench: Workbench) -> None:
    tried(bench, walked())
    found = now(bench)
    assert [each.clock_mhz for each in found.advice] == [5000.0, 5050.0]
    for each in found.advice:
        assert each.voltage_mv is not None
        assert each.edge_mv is not None
        assert each.edge_mv[2] < each.voltage_mv <= 1250.0
    words = now_answer(found)["advice"][0]["words"]
    assert "Brellow K6, data sheet, page 14" in words
    assert "reserve" in words


def test_a_clock_that_needs_more_than_the_limit_leaves_the_advice_to_the_one_below(bench: Workbench) -> None:
    tried(bench, walked())
    plain = now(bench)
    needed = [each.voltage_mv for each in plain.advice]
    assert needed[0] is not None
    lay_limit(bench, most=needed[0])
    found = now(bench)
    assert [each.withheld for each in found.advice] == [None, Withheld.PAST_LIMIT]
    assert found.wanted is not None
    assert (found.wanted.advice.clock_mhz, found.wanted.advice.voltage_mv) == (5000.0, needed[0])


@pytest.mark.parametrize(
    ("given", "doubt", "why"),
    [
        ([TRIAL], Doubt.ONE_TRIAL, Withheld.NEVER_FAILED),
        (list(walked())[:9], Doubt.NEVER_FAILED, Withheld.NEVER_FAILED),
        (list(walked())[9:12], Doubt.NEVER_HELD, Withheld.NEVER_HELD),
    ],
)
def test_one_trial_all_passes_and_all_failures_are_told(
    bench: Workbench, given: list[dict[str, Any]], doubt: Doubt, why: Withheld
) -> None:
    tried(bench, given)
    found = now(bench)
    assert doubt in found.doubts
    assert [each.withheld for each in found.advice] in ([why], [])
    assert found.wanted is not None
    assert found.wanted.advice.withheld is why


def test_failures_that_no_voltage_cures_are_told(bench: Workbench) -> None:
    odd = {**TRIAL, "clock_mhz": 5050.0, "voltage_mv": 1120.0, "hours": 1.5, "outcome": "crash"}
    tried(bench, [*walked(), odd, odd, odd])
    found = now(bench)
    assert Doubt.NOT_CURED in found.doubts
    assert {each.withheld for each in found.advice} == {Withheld.NOT_CURED}
    assert "Raise no voltage" in next_trial(bench, "wren", "processor")["why"]


def test_a_failure_where_a_harder_point_held_is_told_with_both(bench: Workbench) -> None:
    trials = tried(bench, [*walked(), {**TRIAL, "voltage_mv": 1030.0, "hours": 0.1, "outcome": "reboot"}])
    found = now(bench)
    assert Doubt.OUT_OF_ORDER in found.doubts
    (pair,) = found.order
    assert [trial.id for trial in pair.failed] == [trials[-1].id]
    assert all(trial.voltage_mv <= 1030.0 for trial in pair.held)


def test_hours_that_would_change_nothing_are_not_told_of() -> None:
    voltage, *others = planted.TUNED.limits
    assert voltage.quantity is Quantity.VOLTAGE
    lower = replace(planted.TUNED, limits=(replace(voltage, most=1240.0), *others))
    found = tuning_now(Series(tuned=lower, load=planted.LOAD, trials=planted.trials()))
    following, plan = found.next, found.plan
    assert following is not None
    assert plan is not None
    assert plan.edge is not None
    at = (following.voltage_mv, following.clock_mhz, found.room_c, following.hours)
    assert round(prospect(plan.edge, *at, found.goal).if_held_mv) == round(
        prospect(plan.edge, *at, found.goal).now_mv
    )
    assert (following.clock_mhz, following.voltage_mv) not in {
        (each.clock_mhz, each.voltage_mv) for each in found.outlooks
    }


def test_of_a_point_between_steps_the_trials_are_named_that_count_for_it(bench: Workbench) -> None:
    between = {**TRIAL, "clock_mhz": 5083.0, "voltage_mv": 1002.0, "hours": 1.0}
    trials = tried(bench, [*walked(), between])
    found = now(bench)
    assert Doubt.BETWEEN_STEPS in found.doubts
    assert all(pair.failed for pair in found.order)
    assert trials[-1].id in {trial.id for pair in found.order for trial in pair.held}


def test_rooms_that_were_not_read_are_told_and_stood_in_for(bench: Workbench) -> None:
    tried(bench, [*walked(), {**TRIAL, "room_c": None}])
    found = now(bench)
    assert Doubt.ROOM_UNREAD in found.doubts
    assert found.room_c == 24.0
    claims = {(p.clock_mhz, p.voltage_mv): now_answer(found)["points"][n] for n, p in enumerate(found.points)}
    assert "and in rooms that nobody read" in claims[5000.0, 1050.0]["claim"]["words"]


def test_another_load_and_other_settings_are_other_series(bench: Workbench) -> None:
    tried(bench, walked())
    tried(bench, [{**TRIAL, "load": "matrices"}, {**TRIAL, "settings": {"load-line": "level 4"}}])
    every = series_of(bench, "wren", "processor")
    assert [(each.load, dict(each.settings), len(each.trials)) for each in every] == [
        ("integers", {"load-line": "level 4"}, 1), ("matrices", {}, 1), ("integers", {}, 16),
    ]  # fmt: skip
    assert len(one_series(bench, "wren", "processor", load="integers", settings={}).trials) == 16
    assert one_series(bench, "wren", "processor", load="hashes").trials == ()


def test_trials_past_a_limit_noted_later_count_for_nothing_when_they_held(bench: Workbench) -> None:
    tried(bench, [{**TRIAL, "voltage_mv": 1100.0}, *walked()])
    lay_limit(bench, most=1060.0)
    found = now(bench)
    assert Doubt.PAST_LIMIT in found.doubts
    assert found.map is not None
    assert found.map.voltages_mv[-1] == 1060.0
    assert found.plan is not None
    assert (0, len(found.map.voltages_mv) - 1) not in found.plan.tried


def test_stock_that_fails_ends_the_plan(bench: Workbench) -> None:
    tried(bench, [{**TRIAL, "outcome": "crash", "hours": 0.1}])
    assert next_trial(bench, "wren", "processor")["why"] == STOCK_FAILED


def test_a_day_without_a_failure_is_what_may_be_claimed_and_no_more(bench: Workbench) -> None:
    tried(bench, [*walked(), {**TRIAL, "clock_mhz": 5050.0, "voltage_mv": 1090.0, "hours": 24.0}])
    answer = now_answer(now(bench))["points"][-1]["claim"]
    room = "24\u00a0h of integers at 24\u00a0°C"
    assert answer["words"] == f"In {room} no failure; at 95\u00a0% fewer than one in 8\u00a0h."
    assert answer["more"] == "276\u00a0h more without a failure would show fewer than one in 100\u00a0h."
    assert answer["may"] == f"no failure in {room}, at 95\u00a0% fewer than one in 8\u00a0h"
    assert "stable" in answer["may_not"]
    assert "stable" not in answer["words"] + answer["more"] + answer["may"]


def test_no_hours_claim_nothing(bench: Workbench) -> None:
    tried(bench, [{**TRIAL, "hours": 0.0, "outcome": "reboot"}])
    answer = now_answer(now(bench))["points"][0]["claim"]
    assert (answer["most_per_h"], answer["may"]) == (None, "")
    assert "no hours that could claim anything" in answer["words"]


@pytest.mark.parametrize(("ended", "said"), [("passed", DONE), ("crash", FAILED_THERE)])
def test_the_plan_ends_with_hours_at_the_advised_voltage_or_a_failure_there(
    bench: Workbench, ended: str, said: str
) -> None:
    tried(bench, walked())
    before = now(bench)
    assert before.wanted is not None
    assert before.plan is not None
    advice = before.wanted.advice
    point = {"clock_mhz": advice.clock_mhz, "voltage_mv": advice.voltage_mv}
    (trial,) = tried(bench, [{**TRIAL, **point, "hours": 24.0, "outcome": ended}])
    at = AtPoint(
        clock_mhz=trial.clock_mhz, voltage_mv=trial.voltage_mv, claim=claim([trial]), trials=(trial,)
    )
    over = replace(before, plan=replace(before.plan, next=None), wanted=Wanted(advice=advice, at=at))
    assert why_none(over) == said


def test_unknown_setups_and_parts_are_named(bench: Workbench) -> None:
    with pytest.raises(NotFound, match="wran"):
        tuned_part(bench, "wran", "processor")
    with pytest.raises(NotFound, match="memory"):
        next_trial(bench, "wren", "memory")


def test_the_same_trials_are_worked_out_once_whatever_else_changes(
    bench: Workbench, monkeypatch: pytest.MonkeyPatch
) -> None:
    worked = []
    monkeypatch.setattr(standing, "LATELY", Latest(4))
    monkeypatch.setattr(standing, "map_of", lambda *asked: worked.append(1) or map_of(*asked))
    tried(bench, walked())
    first = now(bench)
    note_tuned(bench, {"setup": "plover", **{key: TUNED[key] for key in TUNED if key != "setup"}}, now=NOW)
    assert now(bench) is first
    tried(bench, [TRIAL])
    assert now(bench) is not first
    assert len(worked) == 2


def test_nothing_is_advised_where_more_voltage_failed_time_and_again_however_long_less_held(
    bench: Workbench,
) -> None:
    tried(bench, walked())
    tried(bench, [{**TRIAL, "clock_mhz": 5050.0, "voltage_mv": 1060.0, "hours": 900.0}])
    before = now(bench).wanted
    assert before is not None
    assert before.advice.voltage_mv is not None
    failures = {"clock_mhz": 5050.0, "voltage_mv": 1100.0, "hours": 30.0, "outcome": "crash"}
    tried(bench, [{**TRIAL, **failures}, {**TRIAL, **failures, "hours": 20.0}])
    after = now(bench)
    assert after.wanted is not None
    assert (after.wanted.advice.voltage_mv, after.next) == (None, None)
    assert after.wanted.advice.withheld is Withheld.NOT_CURED
