"""What a temperature log tells of a part, and what it says instead where it cannot tell."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest
from tests.desk.conftest import Bring
from tests.desk.small_folder import Folder
from tests.desk.tuning.small_chip import TRIAL, lay_limit, lay_part, tried
from tests.desk.tuning.warm_log import brought, one_power, rows, written
from tests.tuning.heated import CASE, COOLER, ROOM, log_of

from evenhand.desk.tuning.asking_heat import told_heat
from evenhand.desk.tuning.cooled import cooled_of, settling_of
from evenhand.desk.tuning.heat import HeatNow, chosen_log, heat_logs, heat_now, last_told
from evenhand.desk.tuning.heat_answers import told_answer
from evenhand.desk.tuning.heat_scene import heat_doubted, heat_foot, heat_scene
from evenhand.desk.tuning.noting import tuned_part
from evenhand.errors import BadLog, NotFound
from evenhand.store.workbench import Workbench
from evenhand.tuning.heat_doubts import Doubt
from evenhand.tuning.heat_outlook import HeatAsked, outlook

N = log_of(COOLER, CASE).time_s.size
NONE = np.full(N, np.nan)


@pytest.fixture
def bench(bench: Workbench) -> Workbench:
    lay_limit(bench, quantity="temperature", most=95.0)
    return bench


def told(wb: Workbench, data: bytes | None = None, **given: object) -> HeatNow:
    made = brought(wb, written(rows()) if data is None else data, **given)
    return heat_now(wb, tuned_part(wb, "wren", "processor"), made.heat)


def test_a_log_tells_its_two_stages_and_where_the_part_settles(bench: Workbench) -> None:
    now = told(bench)
    assert now.fit is not None
    assert now.doubts == (Doubt.NOT_HELD,), "27 minutes of load are less than three times 700 s"
    assert now.fit.seconds == pytest.approx([COOLER.seconds, CASE.seconds], rel=0.05)
    assert now.fit.c_per_w == pytest.approx([COOLER.c_per_w, CASE.c_per_w], rel=0.05)
    found = outlook(now.fit, now.tuned, HeatAsked())
    assert (found.room_c, found.watts) == (24.0, 200.0), "the hottest room it has to run in, the log's load"
    assert found.steady.value == pytest.approx(24.0 + 200.0 * 0.37, abs=1.0)


def test_a_column_of_the_room_and_one_value_tell_the_same(bench: Workbench) -> None:
    by_column, by_value = told(bench), told(bench, room="", room_c=ROOM)
    assert by_column.fit is not None
    assert by_value.fit is not None
    assert by_value.fit.c_per_w == pytest.approx(by_column.fit.c_per_w)


def test_without_a_room_only_the_log_s_own_is_told_of(bench: Workbench) -> None:
    now = told(bench, room="")
    assert now.fit is not None
    assert Doubt.ROOM_UNKNOWN in now.doubts
    found = outlook(now.fit, now.tuned, HeatAsked(room_c=35.0, cooler_c_per_w=0.1))
    assert found.room_c is None
    assert found.no_room is not None
    assert found.no_cooler is not None
    assert found.at_limit_w is None


def test_without_watts_readings_are_shown_and_no_network(bench: Workbench) -> None:
    now = told(bench, watts="")
    assert now.fit is None
    assert isinstance(now.trouble, BadLog)
    assert "no column says what the part drew" in str(now.trouble)
    scene = heat_scene(now)
    assert scene is not None
    assert np.isnan(scene.model_c).all()


def test_watts_that_are_missing_throughout_are_told(bench: Workbench) -> None:
    now = told(bench, written(rows(watts=NONE)), watts="processor [W]")
    assert now.fit is None
    assert "no row says what the part drew" in str(now.trouble)


def test_a_gap_is_doubted_and_not_filled(bench: Workbench) -> None:
    lines = rows()
    now = told(bench, written(lines[:600] + lines[700:]))
    assert now.fit is not None
    assert Doubt.GAP_CARRIED in now.doubts
    scene = heat_scene(now)
    assert scene is not None
    assert scene.times_s.size == N - 100


def test_times_that_fall_are_refused_with_their_row(bench: Workbench) -> None:
    lines = rows()
    lines[300], lines[301] = lines[301], lines[300]
    now = told(bench, written(lines))
    assert now.fit is None
    assert "row 302" in str(now.trouble)


def test_rows_that_repeat_a_time_are_left_out(bench: Workbench) -> None:
    lines = rows()
    now = told(bench, written([*lines[:500], lines[499], *lines[500:]]))
    assert now.read is not None
    assert now.read.twice == 1
    assert now.fit is not None


def test_only_the_seconds_that_are_named_count(bench: Workbench) -> None:
    now = told(bench, from_s=600.0, to_s=2400.0)
    assert now.read is not None
    assert now.read.time_s[-1] == 1800.0
    nowhere = told(bench, from_s=9e5)
    assert "no row lies in the seconds" in str(nowhere.trouble)


def test_more_rows_than_can_be_fitted_in_seconds_are_refused(
    bench: Workbench, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("evenhand.desk.tuning.heat_reading.MOST_ROWS", 1000)
    own = {"room": "", "room_c": 19.5}  # what is worked out of a log is remembered, and no other test's is
    assert "1,800 rows" in str(told(bench, **own).trouble)
    assert told(bench, **own, to_s=900.0).trouble is None


def test_a_log_that_is_too_short_says_what_to_record(bench: Workbench) -> None:
    now = told(bench, written(rows()[:20]))
    assert now.fit is None
    assert "record ten minutes and more" in str(now.trouble)


def test_a_temperature_of_another_part_is_doubted(bench: Workbench) -> None:
    wandering = 45 + 5 * np.sin(np.arange(N) / 40)
    now = told(bench, written(rows(other=wandering)), temperature="graphics [°C]")
    assert Doubt.UNRELATED in now.doubts


def test_a_fan_of_two_speeds_has_a_network_at_each(bench: Workbench) -> None:
    fan = np.where(np.arange(N) < N * 0.7, 1800.0, 900.0)
    now = told(bench, written(rows(fan=fan)))
    assert Doubt.FAN_CHANGED in now.doubts
    assert list(now.by_fan) == [900.0, 1800.0]
    assert now.fit is now.by_fan[1800.0], "the load ran at that speed"


def test_a_fan_that_wanders_is_doubted(bench: Workbench) -> None:
    now = told(bench, written(rows(fan=np.linspace(800.0, 2000.0, N))))
    assert Doubt.FAN_WANDERED in now.doubts


def test_a_clock_that_falls_under_load_is_found_with_how_warm_the_part_was(
    bring: Bring, folder: Folder
) -> None:
    wb = bring(folder)
    lay_part(wb)
    clock = np.full(N, 4500.0)
    clock[int(0.3 * N) : int(0.5 * N)] = 3900.0
    now = told(wb, written(rows(clock=clock)))
    assert now.fell is not None
    assert now.fell.fall.from_mhz == pytest.approx(4500.0, rel=0.01)
    assert now.fell.fall.to_mhz == pytest.approx(3900.0, rel=0.01)
    assert now.fell.temperature_c == pytest.approx(84.0, abs=8.0)
    assert now.fell.watts == pytest.approx(200.0)
    assert now.fell_settles is not None
    assert now.fell_settles.value == pytest.approx(ROOM + 200.0 * 0.37, abs=1.0)
    assert "At that power it would have settled at 96\u00a0°C" in now.fell_said


def test_without_a_limit_nothing_is_said_of_what_is_left(bring: Bring, folder: Folder) -> None:
    wb = bring(folder)
    lay_part(wb)
    now = told(wb)
    assert now.fit is not None
    found = outlook(now.fit, now.tuned, HeatAsked())
    assert (found.limit, found.headroom, found.at_limit_w, found.reached_s) == (None, None, None, None)


def test_programs_are_told_every_log_and_what_the_one_asked_for_tells(bench: Workbench) -> None:
    first, second = brought(bench).heat, brought(bench, to_s=3000.0).heat
    answer = told_answer(told_heat(bench, "wren", "processor", None, HeatAsked(watts=300.0)))
    assert [each["id"] for each in answer["logs"]] == [first.id, second.id]
    heat = answer["heat"]
    assert heat["log"] == second.id
    assert heat["outlook"]["watts"] == 300.0
    assert heat["outlook"]["headroom_c"]["value"] < 0
    assert len(heat["stages"]) == 2
    with pytest.raises(NotFound):
        chosen_log(heat_logs(bench, "wren", "processor"), 99, where="here")


def test_a_card_says_what_was_set_and_opens_its_foot_with_the_first_doubt(bench: Workbench) -> None:
    now = told(bench, clock_mhz=4650.0, voltage_mv=1240.0, to_s=1500.0, room="")
    assert "4,650\u00a0MHz" in heat_foot(now)[1]
    scene = heat_scene(now, settles=True)
    assert scene is not None
    assert scene.doubted.startswith("To be doubted: the room's temperature is not on record; and ")
    assert heat_scene(now) is not None, "a page tells every doubt beside it"


STEADY = {
    **TRIAL, "clock_mhz": 5000.0, "voltage_mv": 1050.0, "hours": 8.0, "room_c": 24.0, "watts": 200.0,
    "watts_at": "part",
}  # fmt: skip
SAYS_C = 24.0 + 200.0 * 0.37


@pytest.mark.parametrize(
    ("changes", "doubted"),
    [
        ({"hottest_c": SAYS_C + 1.0}, False),
        ({"hottest_c": SAYS_C - 3.2}, True),
        ({"hottest_c": SAYS_C + 3.2}, True),
        ({"hottest_c": SAYS_C - 3.2, "hours": 0.5}, False),
        ({"hottest_c": SAYS_C - 3.2, "voltage_mv": 1055.0}, False),
        ({"hottest_c": SAYS_C - 3.2, "watts_at": "wall"}, False),
        ({"hottest_c": SAYS_C - 3.2, "room_c": None}, False),
        ({"hottest_c": SAYS_C - 3.2, "settings": {"fan": "full"}}, False),
    ],
)
def test_a_log_that_steady_trials_at_its_own_point_contradict_is_doubted_first(
    bench: Workbench, changes: dict[str, object], *, doubted: bool
) -> None:
    """Three time constants are 35 min; what was cooled otherwise, or read otherwise, contradicts nothing."""
    made = brought(bench, clock_mhz=5000.0, voltage_mv=1050.0, settings={"fan": "fixed"})
    tried(bench, [{name: value for name, value in {**STEADY, **changes}.items() if value is not None}])
    now = heat_now(bench, tuned_part(bench, "wren", "processor"), made.heat)
    assert (Doubt.TRIALS_DIFFER in now.doubts[:1]) is doubted
    assert ("steady trials at the clock and voltage of this log" in heat_doubted(now)) is doubted


def test_a_card_says_what_is_in_no_band(bench: Workbench) -> None:
    assert "sensor and the meter are off by comes on top" in heat_foot(told(bench))[0], "cards cut the end"


def test_a_later_log_that_tells_nothing_does_not_take_over_and_it_is_said_why(bench: Workbench) -> None:
    good, short = brought(bench).heat, brought(bench, written(rows()[:20])).heat
    answer = told_answer(told_heat(bench, "wren", "processor", None, HeatAsked()))
    assert answer["heat"]["log"] == good.id
    assert "record ten minutes and more" in answer["logs"][1]["passed_over"]
    assert answer["logs"][0]["passed_over"] is None
    tuned = tuned_part(bench, "wren", "processor")
    now, (cooled, _) = last_told(bench, tuned), cooled_of(bench, tuned, room_c=24.0)
    assert now is not None
    assert now.heat.id == good.id
    assert cooled is not None
    asked = told_answer(told_heat(bench, "wren", "processor", short.id, HeatAsked()))
    assert asked["heat"]["trouble"], "its own number still tells of it"


def test_a_power_that_never_changed_has_no_band_and_tells_of_nothing_else(bench: Workbench) -> None:
    warm = ROOM + 50.0 * (1 - np.exp(-2.0 * np.arange(N) / 100.0))
    lines = rows(watts=np.full(N, 200.0), temperature=warm)
    made = brought(bench, written(lines)).heat
    asked = HeatAsked(room_c=40.0, watts=280.0, cooler_c_per_w=0.1)
    told_of = told_answer(told_heat(bench, "wren", "processor", made.id, asked))["heat"]
    assert "power_constant" in {each["doubt"] for each in told_of["doubts"]}
    found = told_of["outlook"]
    assert (found["room_c"], found["watts"]) == (ROOM, 200.0)
    assert found["steady_c"]["value"] == pytest.approx(72.0, abs=0.5)
    for band in (found["steady_c"], found["headroom_c"], told_of["c_per_w"], told_of["stages"][0]["c_per_w"]):
        assert (band["low"], band["high"]) == (None, None)
    assert (found["at_limit_w"], found["at_limit_room_c"], found["cooler"]) == (None, None, None)
    said = " ".join(found["words"]).replace("\u00a0", " ")
    assert "it settles at about 72 °C, about 23 below the maker's limit of 95 °C" in said
    assert said.count("no other room, power or cooler") == 1
    tuned = tuned_part(bench, "wren", "processor")
    assert cooled_of(bench, tuned, room_c=24.0) == (None, None)


def test_a_later_log_of_one_power_does_not_take_over_from_one_of_steps(bench: Workbench) -> None:
    steps, later = brought(bench).heat, brought(bench, one_power()).heat
    answer = told_answer(told_heat(bench, "wren", "processor", None, HeatAsked()))
    assert answer["heat"]["log"] == steps.id
    assert len(answer["heat"]["stages"]) == 2
    assert "its power never changed" in answer["logs"][1]["passed_over"].lower()
    assert f"log {steps.id} tells more" in answer["logs"][1]["passed_over"]
    (beside,) = answer["heat"]["later"]
    assert (beside["log"], beside["watts"], beside["room_c"]) == (later.id, 150.0, ROOM)
    assert beside["settled_c"] == pytest.approx(ROOM + 0.37 * 150.0, abs=0.5)
    assert beside["says_c"]["low"] < beside["settled_c"] < beside["says_c"]["high"] + 1.0
    assert f"where log {steps.id} says" in beside["words"]
    tuned = tuned_part(bench, "wren", "processor")
    assert cooled_of(bench, tuned, room_c=24.0)[0] is not None
    assert Doubt.LATER_DIFFERS.name.lower() not in {each["doubt"] for each in answer["heat"]["doubts"]}
    own = told_answer(told_heat(bench, "wren", "processor", later.id, HeatAsked()))["heat"]
    assert (own["log"], own["later"]) == (later.id, [])


def test_a_later_log_that_settled_elsewhere_is_doubted_first(bench: Workbench) -> None:
    brought(bench)
    brought(bench, one_power(off_c=5.0))
    now = last_told(bench, tuned_part(bench, "wren", "processor"))
    assert now is not None
    assert now.doubts[0] is Doubt.LATER_DIFFERS
    scene = heat_scene(now, settles=True)
    assert scene is not None
    assert "a later log settled more than 2 K off" in scene.doubted


def warmer(by: float) -> bytes:
    """The log of steps, its rise so many times as large."""
    read = np.array([float(each[1]) for each in rows()])
    return written(rows(temperature=ROOM + by * (read - ROOM)))


def test_two_logs_that_tell_as_much_and_disagree_are_told_first_with_both_figures(bench: Workbench) -> None:
    first = brought(bench).heat
    second = brought(bench, warmer(1.2)).heat
    now = last_told(bench, tuned_part(bench, "wren", "processor"))
    assert now is not None
    assert (now.heat.id, now.doubts[0]) == (second.id, Doubt.EARLIER_DIFFERS)
    assert now.earlier is not None
    number, found = now.earlier
    assert number == first.id
    assert found.own.value - found.room_c == pytest.approx(
        1.2 * (found.earlier.value - found.room_c), rel=0.02
    )
    lay_limit(bench, quantity="temperature", most=95.0)
    settling = settling_of(bench, tuned_part(bench, "wren", "processor"))
    assert settling is not None
    assert settling.disputed
    told = told_answer(told_heat(bench, "wren", "processor", None, HeatAsked()))["heat"]["doubts"][0]
    assert told["doubt"] == "earlier_differs"
    assert f"log {first.id} says {found.earlier.value:.0f}\u00a0°C" in told["words"]
    assert f"log {second.id}, which is believed as the later one, {found.own.value:.0f}" in told["words"]


@pytest.mark.parametrize(
    ("by", "given"),
    [(1.01, {}), (1.2, {"watts_at": "wall"}), (1.2, {"settings": {"fan": "full"}})],
)
def test_logs_that_agree_or_were_made_otherwise_raise_no_such_doubt(
    bench: Workbench, by: float, given: dict[str, Any]
) -> None:
    brought(bench, settings={"fan": "quiet"})
    brought(bench, warmer(by), **given)
    now = last_told(bench, tuned_part(bench, "wren", "processor"))
    assert now is not None
    assert Doubt.EARLIER_DIFFERS not in now.doubts


def test_what_another_meter_read_is_held_against_nothing(bench: Workbench) -> None:
    brought(bench)
    brought(bench, one_power(off_c=5.0), watts_at="wall")
    now = last_told(bench, tuned_part(bench, "wren", "processor"))
    assert now is not None
    assert [each.settled for each in now.later] == [None]
    assert Doubt.LATER_DIFFERS not in now.doubts


def test_how_it_holds_at_rest_is_measured_on_the_log_itself(bench: Workbench) -> None:
    answer = told_answer(
        told_heat(bench, "wren", "processor", brought(bench).heat.id, HeatAsked(watts=40.0))
    )["heat"]
    assert abs(answer["rest"]["mean_c"]) < 0.8
    assert "on average" in answer["rest"]["words"]
    assert "rest_differs" not in {each["doubt"] for each in answer["doubts"]}
    assert "At so little power" not in " ".join(answer["outlook"]["words"])


def test_a_part_whose_rest_is_off_is_told_of_under_load_alone(bench: Workbench) -> None:
    log = log_of(COOLER, CASE, noise=0.5)
    cold = np.where(log.time_s > 0.8 * log.span_s, log.temperature_c - 4.0, log.temperature_c)
    made = brought(bench, written(rows(temperature=cold))).heat
    told = told_answer(told_heat(bench, "wren", "processor", made.id, HeatAsked()))["heat"]
    doubted = {each["doubt"]: each["words"] for each in told["doubts"]}
    assert doubted["rest_differs"].endswith(told["rest"]["words"])
    assert told["rest"]["mean_c"] == pytest.approx(-4.0, abs=0.8)
    assert "200 W under load it " in told["outlook"]["words"][0].replace("\u00a0", " ")
    little = told_answer(told_heat(bench, "wren", "processor", made.id, HeatAsked(watts=30.0)))["heat"]
    said = " ".join(little["outlook"]["words"]).replace("\u00a0", " ")
    assert "under load it" not in said
    assert "At so little power it is likely cooler than that" in said


def test_a_log_without_rest_after_load_says_so_of_little_power(bench: Workbench) -> None:
    made = brought(bench, to_s=2500.0).heat
    told = told_answer(told_heat(bench, "wren", "processor", made.id, HeatAsked(watts=30.0)))["heat"]
    assert told["rest"] is None
    assert "the log has no rest after load" in " ".join(told["outlook"]["words"])
