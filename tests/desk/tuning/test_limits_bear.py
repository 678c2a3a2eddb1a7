"""What keeps advice back, told alike everywhere: heat, power, a stock that failed, few hours."""

from __future__ import annotations

from tests.desk.conftest import Bring
from tests.desk.small_folder import Folder
from tests.desk.tuning.small_chip import TRIAL, lay_limit, lay_part, tried, walked

from evenhand.desk.pages.tuning import Looked, tuning_page
from evenhand.desk.publication.tuning_rows import said_row
from evenhand.desk.tuning.answers import now_answer
from evenhand.desk.tuning.coming import next_trial
from evenhand.desk.tuning.doubts_said import doubt_said, doubts_said
from evenhand.desk.tuning.scenes import claimed_point
from evenhand.desk.tuning.series import one_series
from evenhand.desk.tuning.standing import TuningNow, tuning_now
from evenhand.publish.tuning.advice import TODO
from evenhand.publish.tuning.doubts import STOCK_FAILED
from evenhand.store.workbench import Workbench
from evenhand.tuning.advice import Withheld
from evenhand.tuning.doubts import Doubt


def now(wb: Workbench) -> TuningNow:
    return tuning_now(one_series(wb, "wren", "processor"))


def heat_limit(wb: Workbench, most: float) -> None:
    lay_limit(wb, quantity="temperature", most=most)


def test_past_the_limit_of_temperature_in_the_hottest_room_a_lower_clock_is_wanted(
    bring: Bring, folder: Folder
) -> None:
    wb = bring(folder)
    lay_part(wb, hottest_room_c=30.0)
    tried(wb, [{**each, "hottest_c": 60.0} for each in walked()])
    free = now(wb)
    assert free.wanted is not None
    top = free.wanted.advice
    points = [(each.clock_mhz, each.voltage_mv) for each in free.advice]
    assert top.clock_mhz == 5050.0
    warm = [{**TRIAL, "clock_mhz": mhz, "voltage_mv": mv, "hottest_c": 60.0 if mhz < 5050 else 75.0}
            for mhz, mv in points]  # fmt: skip
    tried(wb, warm)
    heat_limit(wb, 80.0)
    found = now(wb)
    assert [each.withheld for each in found.advice] == [None, Withheld.TOO_HOT]
    assert found.wanted is not None
    assert found.wanted.advice.clock_mhz == 5000.0
    assert "hotter in the hottest room than is allowed" in now_answer(found)["advice"][1]["words"]
    assert Doubt.TOO_HOT not in found.doubts, "75 °C in a room of 24 °C is within 80 °C"
    assert found.next is None or found.next.clock_mhz == 5000.0 or found.next.voltage_mv < points[1][1]


def test_without_a_reading_at_what_is_advised_its_temperature_is_told_as_not_checked(
    bench: Workbench,
) -> None:
    tried(bench, walked())
    heat_limit(bench, 80.0)
    found = now(bench)
    assert found.wanted is not None
    assert found.wanted.advice.voltage_mv is not None
    assert Doubt.HEAT_UNCHECKED in found.doubts
    there = {"clock_mhz": found.wanted.advice.clock_mhz, "voltage_mv": found.wanted.advice.voltage_mv}
    tried(bench, [{**TRIAL, **there, "hottest_c": 70.0}])
    assert Doubt.HEAT_UNCHECKED not in now(bench).doubts


def test_once_stock_failed_nothing_is_advised_and_nothing_comes_next(bench: Workbench) -> None:
    tried(bench, walked())
    assert now(bench).wanted is not None
    tried(bench, [{**TRIAL, "hours": 2.0, "outcome": "crash"}])
    found = now(bench)
    assert {each.withheld for each in found.advice} == {Withheld.STOCK_FAILED}
    assert found.wanted is not None
    assert found.wanted.advice.withheld is Withheld.STOCK_FAILED
    assert next_trial(bench, "wren", "processor")["why"] == STOCK_FAILED
    assert "only where something else is known to have caused it" in STOCK_FAILED
    assert "take back what failed" not in f"{STOCK_FAILED} {TODO[Withheld.STOCK_FAILED]}"
    assert not any("once more" in doubt for doubt in doubts_said(found)), "no trial is to be made then"
    assert "stock itself failed" in now_answer(found)["advice"][0]["words"]
    page = tuning_page(bench, "quay", Looked())
    assert page.answer.startswith("Stock itself failed on the processor of ")
    assert "nothing is advised until that is mended" in page.answer
    assert page.part is not None
    assert page.part.map is not None
    assert page.part.map.wide.title.startswith("Stock itself failed")
    said = said_row(found)
    assert said["doubts"][0].startswith("Stock itself failed")
    assert {each["withheld"] for each in said["advice"]} == {Withheld.STOCK_FAILED.value}
    assert claimed_point(found) is None


def test_points_out_of_order_are_named_and_readers_are_told_nothing_to_do(bench: Workbench) -> None:
    tried(bench, [*walked(), {**TRIAL, "voltage_mv": 1030.0, "hours": 0.1, "outcome": "reboot"}])
    found = now(bench)
    own, readers = (doubt_said(Doubt.OUT_OF_ORDER, found, readers=each) for each in (False, True))
    named = "5,000\u00a0MHz at 1,030\u00a0mV failed although 5,0"
    assert own.startswith(named)
    assert readers.startswith(named)
    assert "once more" in own
    assert "once more" not in readers
    assert readers in said_row(found)["doubts"]


def test_without_advice_few_hours_put_no_point_forward_but_stock(bench: Workbench) -> None:
    tried(bench, walked())
    lay_limit(bench, most=1050.0)
    found = now(bench)
    assert found.wanted is not None
    assert found.wanted.advice.voltage_mv is None
    at = claimed_point(found)
    assert at is not None
    assert (at.clock_mhz, at.voltage_mv) == (5000.0, 1050.0)
    tried(bench, [{**TRIAL, "voltage_mv": 1040.0, "hours": 8.0}])
    later = claimed_point(now(bench))
    assert later is not None
    assert later.voltage_mv == 1040.0


def test_hours_past_a_limit_that_was_noted_later_are_put_forward_nowhere(bench: Workbench) -> None:
    tried(bench, [*walked(), {**TRIAL, "clock_mhz": 5050.0, "voltage_mv": 1090.0, "hours": 24.0}])
    before = claimed_point(now(bench))
    assert before is not None
    assert (before.clock_mhz, before.voltage_mv) == (5050.0, 1090.0)
    lay_limit(bench, most=1060.0)
    after = claimed_point(now(bench))
    assert after is not None
    assert after.voltage_mv <= 1060.0
    page = tuning_page(bench, "quay", Looked())
    assert "1,090" not in page.answer
    assert page.part is not None
    assert page.part.claim is not None
    assert "1,090" not in page.part.claim.heading
    assert said_row(now(bench))["claim"]["voltage_mv"] <= 1060.0
