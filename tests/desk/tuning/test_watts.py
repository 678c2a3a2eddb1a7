"""What a tuned part draws at stock and at the advised point, and where it does the most work for a joule."""

from __future__ import annotations

import json
from collections.abc import Iterable
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from tests.conftest import NOW
from tests.desk.conftest import Bring
from tests.desk.small_folder import Folder
from tests.desk.swapped_folder import Made, swapped
from tests.desk.tuning.small_chip import TRIAL, lay_part, tried, walked

from evenhand.desk.logs.importing import import_folder
from evenhand.desk.on_record import StudyOnRecord, load_study
from evenhand.desk.tuning.asking_watts import asked_watts
from evenhand.desk.tuning.elastic import IN_STEP, Elasticity, elasticity_of
from evenhand.desk.tuning.series import one_series
from evenhand.desk.tuning.standing import TuningNow, tuning_now
from evenhand.desk.tuning.watts import NoPoint, OfMeter, watts_now
from evenhand.desk.tuning.watts_said import watts_answer, watts_said
from evenhand.desk.tuning.watts_scene import watts_scenes
from evenhand.errors import NotFound
from evenhand.publish.tuning.watts import APART, NOTHING_READ
from evenhand.records.trials import Meter, Tuned
from evenhand.store.workbench import Workbench
from evenhand.tuning.bands import Known
from evenhand.tuning.efficiency import Cooled

NF, LEAKS = 9.0, 12.0


def draws(clock: float, voltage: float, hot: float = 70.0) -> float:
    return NF * (voltage / 1000) ** 2 * clock / 1000 + LEAKS * np.exp(2 * (voltage / 1000 - 1.05))


def with_watts(given: Iterable[dict[str, Any]], *, at: str = "part") -> list[dict[str, Any]]:
    """Trials with the watts of the stated part, and two far below stock that tell switching apart."""
    low = [{**TRIAL, "clock_mhz": clock, "voltage_mv": 1000.0} for clock in (2500.0, 3500.0)]
    return [
        {**each, "watts": round(draws(each["clock_mhz"], each["voltage_mv"]), 2), "watts_at": at,
         "hottest_c": 70.0}
        for each in (*given, *low)
    ]  # fmt: skip


def standing(wb: Workbench) -> TuningNow:
    return tuning_now(one_series(wb, "wren", "processor"))


def only(found: tuple[OfMeter, ...]) -> OfMeter:
    (one,) = found
    return one


def test_without_watts_it_says_what_to_note(bench: Workbench) -> None:
    tried(bench, walked())
    assert watts_said(watts_now(standing(bench))) == (NOTHING_READ,)


def test_stock_and_the_advised_point_draw_what_the_stated_part_draws(bench: Workbench) -> None:
    tried(bench, with_watts(walked()))
    found = only(watts_now(standing(bench)).meters)
    stock, wanted = found.at
    assert (stock.clock_mhz, stock.voltage_mv) == (5000.0, 1050.0)
    for share in (stock, wanted):
        true = draws(share.clock_mhz, share.voltage_mv)
        assert share.watts.low <= true <= share.watts.high
        assert share.watts.value == pytest.approx(true, rel=0.002)
        switched = NF * (share.voltage_mv / 1000) ** 2 * share.clock_mhz / 1000
        assert share.switching.low <= switched <= share.switching.high <= share.watts.high


def test_the_best_clock_is_the_one_that_a_table_by_hand_names(bench: Workbench) -> None:
    tried(bench, with_watts(walked()))
    now = standing(bench)
    found = only(watts_now(now).meters).best
    assert found is not None
    by_hand = {
        each.clock_mhz: each.clock_mhz / draws(each.clock_mhz, each.voltage_mv)
        for each in now.advice if each.voltage_mv is not None
    }  # fmt: skip
    best = max(by_hand, key=by_hand.__getitem__)
    assert found.here.clock_mhz == best
    gain = by_hand[best] / (5000.0 / draws(5000.0, 1050.0))
    assert found.efficient.gain.value == pytest.approx(gain, rel=0.003)
    assert found.efficient.gain.low <= gain <= found.efficient.gain.high
    assert found.elasticity is IN_STEP


def test_the_line_goes_through_the_advised_clocks_and_its_best_gains_what_is_said(bench: Workbench) -> None:
    tried(bench, with_watts(walked()))
    now = standing(bench)
    found = only(watts_now(now).meters).best
    assert found is not None
    advised = {(each.clock_mhz, each.voltage_mv) for each in now.advice if each.voltage_mv is not None}
    assert set(found.line.points) == advised
    gains = dict(zip(found.line.points, found.line.along.gain, strict=True))
    here = (found.here.clock_mhz, found.here.voltage_mv)
    assert gains[here].value == pytest.approx(found.efficient.gain.value)
    assert max(each.value for each in gains.values()) == gains[here].value


def test_the_picture_has_every_trial_behind_the_law_as_it_was_read(bench: Workbench) -> None:
    tried(bench, with_watts(walked()))
    now = standing(bench)
    (scene,) = watts_scenes(now, watts_now(now))
    behind = only(watts_now(now).meters).metered.trials
    assert [(each.point, each.watts.value) for each in scene.read] == [
        ((trial.clock_mhz, trial.voltage_mv), trial.watts) for trial in behind
    ]
    for each in scene.read:
        by_hand = each.point[0] / 5000.0 * draws(5000.0, 1050.0) / each.watts.value
        assert each.gain.value == pytest.approx(by_hand, rel=0.003)
        assert each.watts.low < each.watts.value < each.watts.high


def test_of_one_clock_the_picture_has_its_voltages_and_stock_among_them(bench: Workbench) -> None:
    tried(bench, [each for each in with_watts(walked()) if each["clock_mhz"] == 5000.0])
    wide = {"clock_mhz": 5000.0, "hours": 1.0, "outcome": "passed", "hottest_c": 70.0, "watts_at": "part"}
    tried(bench, [{**TRIAL, **wide, "voltage_mv": v, "watts": draws(5000.0, v)} for v in (1100.0, 1150.0)])
    now = standing(bench)
    (scene,) = watts_scenes(now, watts_now(now))
    assert scene.by_voltage
    assert {clock for clock, _ in (each.point for each in scene.law)} == {5000.0}
    assert (5000.0, 1050.0) in [each.point for each in scene.law]
    assert scene.best.point[1] == now.advice[0].voltage_mv


def test_where_none_is_named_nothing_is_drawn(bench: Workbench) -> None:
    tried(bench, [each for each in with_watts(walked()) if each["outcome"] == "passed"])
    now = standing(bench)
    assert list(watts_scenes(now, watts_now(now))) == []


def test_work_that_hardly_follows_the_clock_is_best_done_at_the_lowest(bench: Workbench) -> None:
    tried(bench, with_watts(walked()))
    slow = Elasticity(known=Known(value=0.05), tests=("quay",))
    found = only(watts_now(standing(bench), elasticity=slow).meters).best
    assert found is not None
    assert (found.here.clock_mhz, found.end) == (2500.0, "lowest")


def test_what_cools_it_counts_for_the_meter_that_it_was_measured_by_alone(bench: Workbench) -> None:
    tried(bench, with_watts(walked()))
    cool = Cooled(c_per_w=Known(value=0.5), room_c=Known(value=24.0))
    for by, counts in ((Meter.PART, True), (Meter.WALL, False), (None, False)):
        found = only(watts_now(standing(bench), cooled=cool, cooled_by=by).meters).best
        assert found is not None
        assert found.cooled is counts


def test_of_one_clock_alone_it_says_what_less_voltage_does_for_a_joule(bench: Workbench) -> None:
    tried(bench, [each for each in with_watts(walked()) if each["clock_mhz"] == 5000.0])
    wide = {"clock_mhz": 5000.0, "hours": 1.0, "outcome": "passed", "hottest_c": 70.0, "watts_at": "part"}
    tried(bench, [{**TRIAL, **wide, "voltage_mv": v, "watts": draws(5000.0, v)} for v in (1100.0, 1150.0)])
    now = standing(bench)
    found = only(watts_now(now).meters).best
    assert found is not None
    assert (found.clocks, found.end, found.here.clock_mhz) == (1, "", 5000.0)
    assert not any("Work is taken" in said for said in watts_said(watts_now(now))), "its clock is the same"
    advised = now.advice[0].voltage_mv
    assert advised is not None
    gain = draws(5000.0, 1050.0) / draws(5000.0, advised)
    assert found.efficient.gain.low <= gain <= found.efficient.gain.high
    way = "more" if gain > 1 else "less"
    assert any(f"{way} work for a joule than stock, by watts at the part" in each
               for each in watts_said(watts_now(now)))  # fmt: skip


def test_without_an_advised_voltage_none_is_named(bench: Workbench) -> None:
    tried(bench, [each for each in with_watts(walked()) if each["outcome"] == "passed"])
    found = only(watts_now(standing(bench)).meters)
    assert (found.best, found.lacks) == (None, NoPoint.NO_ADVICE)
    assert any("no clock has an advised voltage" in said for said in watts_said(watts_now(standing(bench))))


def test_without_the_voltage_at_stock_none_is_named(bring: Bring, folder: Folder) -> None:
    wb = bring(folder)
    lay_part(wb, stock_voltage_mv=None)
    tried(wb, with_watts(walked()))
    assert only(watts_now(standing(wb)).meters).lacks is NoPoint.NO_STOCK


def test_two_meters_are_told_as_two(bench: Workbench) -> None:
    tried(bench, with_watts(walked()))
    tried(bench, [{**each, "note": "wall"} for each in with_watts(walked(), at="wall")[:2]])
    said = watts_said(watts_now(standing(bench)))
    assert said[0] == APART
    assert any("Two points with watts at the wall can be used" in each for each in said)


def test_what_programs_are_told_is_plain_json(bench: Workbench) -> None:
    tried(bench, with_watts(walked()))
    told = watts_answer(watts_now(standing(bench)))
    assert json.loads(json.dumps(told, allow_nan=False))["meters"][0]["watts_at"] == "part"


def clocked(wb: Workbench, tmp_path: Path, *, share: float) -> StudyOnRecord:
    """A processor from 4.0 to 4.4 GHz whose two tests turn that share of it into rate."""
    rise = float(np.log(4400 / 4000))
    made = tuple(
        Made(key=key, build="tern", state=key, parts=("p0", "g0"),
             logs=dict.fromkeys(("quay", "mole"), 4.0 + by), stamps={"processor clock": f"{clock} MHz"})
        for key, clock, by in (("stock", 4000, 0.0), ("tuned", 4400, share * rise))
    )  # fmt: skip
    import_folder(wb, swapped(*made).write(tmp_path / "study"), now=NOW)
    return load_study(wb, "mole")


def part_of(setup: str, part: str = "processor") -> Tuned:
    return Tuned(
        setup=setup, part=part, stock_clock_mhz=4000.0, stock_voltage_mv=1000.0, clock_step_mhz=50.0,
        voltage_step_mv=5.0,
    )  # fmt: skip


def test_work_follows_the_clock_as_the_tests_of_the_study_measured(wb: Workbench, tmp_path: Path) -> None:
    record = clocked(wb, tmp_path, share=0.6)
    found = elasticity_of(wb, record, part_of("tuned"))
    assert found.tests == ("quay", "mole")
    assert found.known.value == pytest.approx(0.6, abs=1e-3)
    assert 0 < found.known.sd < 0.2


def test_the_clock_of_another_part_tells_nothing_of_this_one(wb: Workbench, tmp_path: Path) -> None:
    record = clocked(wb, tmp_path, share=0.6)
    assert elasticity_of(wb, record, part_of("tuned", "graphics")) is IN_STEP


def test_it_is_asked_for_with_a_study_or_without(bench: Workbench) -> None:
    tried(bench, with_watts(walked()))
    of_study, alone = asked_watts(bench, "wren", "", study="quay"), asked_watts(bench, "wren", "processor")
    assert watts_answer(of_study) == watts_answer(alone), "no test of this study was run at two clocks"
    with pytest.raises(NotFound, match="nothing was tried under 'patterns'"):
        asked_watts(bench, "wren", "", load="patterns")
    with pytest.raises(NotFound):
        asked_watts(bench, "wren", "", study="quey")
