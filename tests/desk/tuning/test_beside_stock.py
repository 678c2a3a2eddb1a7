"""Less voltage at the stock clock is told as that, with what trials there drew; never below what held."""

from __future__ import annotations

from typing import Any

import pytest
from tests.desk.conftest import Bring
from tests.desk.small_folder import NOW, Folder
from tests.desk.tuning.small_chip import LIMIT, TRIAL, lay_part, tried, walked

from evenhand.desk.pages.tuning import Looked, tuning_page
from evenhand.desk.tuning.answers import now_answer
from evenhand.desk.tuning.beside_stock import against_stock
from evenhand.desk.tuning.coming import wanted_said
from evenhand.desk.tuning.noting import note_limit, note_tuned
from evenhand.desk.tuning.series import one_series
from evenhand.desk.tuning.standing import TuningNow, tuning_now
from evenhand.store.workbench import Workbench

AT_STOCK = {"quantity": "clock", "most": 5000.0, "source": "ourselves: the clock stays"}


@pytest.fixture
def bench(bring: Bring, folder: Folder) -> Workbench:
    wb = bring(folder)
    lay_part(wb, stock_voltage_mv=1150.0)
    note_limit(wb, "wren", "processor", AT_STOCK, now=NOW, today=NOW.date())
    return wb


def now_of(wb: Workbench) -> TuningNow:
    return tuning_now(one_series(wb, "wren", "processor"))


def at_stock_clock(**changes: Any) -> list[dict[str, Any]]:
    """The walk at the clock of stock alone, begun at its voltage."""
    return [
        {**TRIAL, "voltage_mv": 1150.0, **changes},
        *({**each, **changes} for each in walked() if each["clock_mhz"] == 5000.0),
    ]


def advised(wb: Workbench) -> float:
    wanted = now_of(wb).wanted
    assert wanted is not None
    assert wanted.advice.voltage_mv is not None
    return wanted.advice.voltage_mv


def plain(words: str) -> str:
    return words.replace("\u00a0", " ")


def test_with_a_limit_of_the_clock_at_stock_only_its_voltage_is_walked(bench: Workbench) -> None:
    found = now_of(bench)
    assert found.map is not None
    assert found.map.clocks_mhz == (5000.0,)
    assert found.next is not None
    assert (found.next.clock_mhz, found.next.voltage_mv) == (5000.0, 1150.0)


def test_it_is_told_as_so_much_below_stock_at_the_stock_clock(bench: Workbench) -> None:
    tried(bench, at_stock_clock())
    voltage = advised(bench)
    assert 1005.0 < voltage < 1150.0
    said = f"{1150 - voltage:.0f} mV below stock"
    words = plain(" ".join(wanted_said(now_of(bench))))
    assert f"That is {said} at the stock clock." in words
    assert plain(now_answer(now_of(bench))["advice"][0]["against_stock"]).startswith(f"That is {said}")
    page = tuning_page(bench, "quay", Looked())
    assert page.part is not None
    assert f"is advised, {said}." in plain(page.answer)
    assert page.part.map is not None
    assert f"is advised, {said}" in plain(page.part.map.wide.title)
    hours = {**TRIAL, "voltage_mv": voltage, "hours": 24.0}
    tried(bench, [hours])
    answer = plain(tuning_page(bench, "quay", Looked()).answer)
    assert f"5,000 MHz at {voltage:,.0f} mV, {said} at the stock clock: in 24 h" in answer


def test_what_trials_there_and_at_stock_drew_is_told_by_the_meter_that_read_both(bench: Workbench) -> None:
    tried(bench, at_stock_clock(watts=140.0, watts_at="part"))
    (advice,) = now_of(bench).advice
    assert "On average" not in against_stock(now_of(bench), advice)
    there = {**TRIAL, "voltage_mv": advice.voltage_mv, "hours": 8.0}
    tried(
        bench, [{**there, "watts": 121.4, "watts_at": "part"}, {**there, "watts": 210.0, "watts_at": "wall"}]
    )
    found = now_of(bench)
    (again,) = found.advice
    if again.voltage_mv == advice.voltage_mv:
        said = plain(against_stock(found, again))
        assert "On average trials there read 121 W and at stock 140 W at the part" in said
        assert said.endswith(", however long each ran: 19 W less."), "and not warm, as the law tells it"
        assert "wall" not in said


def test_offsets_may_lie_below_nothing(bring: Bring, folder: Folder) -> None:
    wb = bring(folder)
    note_tuned(wb, {"setup": "wren", "part": "processor", "stock_clock_mhz": 5000.0, "offset": True,
                    "stock_voltage_mv": 1150.0, "clock_step_mhz": 50.0, "voltage_step_mv": 5.0,
                    "hottest_room_c": 24.0}, now=NOW)  # fmt: skip
    for limit in (LIMIT, AT_STOCK):
        note_limit(wb, "wren", "processor", limit, now=NOW, today=NOW.date())
    tried(wb, [{**each, "voltage_mv": each["voltage_mv"] - 1150.0} for each in at_stock_clock()])
    voltage = advised(wb)
    assert -145.0 < voltage < 0
    said = plain(" ".join(wanted_said(now_of(wb))))
    assert f"That is {-voltage:.0f} mV below stock at the stock clock." in said


def test_more_voltage_than_stocks_at_its_clock_is_told_why(bring: Bring, folder: Folder) -> None:
    wb = bring(folder)
    lay_part(wb, stock_voltage_mv=1030.0)
    note_limit(wb, "wren", "processor", AT_STOCK, now=NOW, today=NOW.date())
    tried(wb, [each for each in walked() if each["clock_mhz"] == 5000.0 and each["voltage_mv"] <= 1030.0])
    voltage = advised(wb)
    assert voltage > 1030.0
    said = plain(now_answer(now_of(wb))["advice"][0]["against_stock"])
    assert said.startswith(f"That is {voltage - 1030:.0f} mV above stock at the stock clock. ")
    assert "Stock did not fail: its hours are too few to promise one failure in 1,000 h" in said


def test_nothing_is_advised_below_all_that_held(bench: Workbench) -> None:
    held = [{**TRIAL, "voltage_mv": 1150.0, "hours": 30.0}]
    failed = [{**TRIAL, "voltage_mv": v, "hours": 0.05, "outcome": "crash"} for v in (900.0, 895.0, 890.0)]
    tried(bench, [*held, *failed])
    wanted = now_of(bench).wanted
    assert wanted is not None
    assert wanted.advice.voltage_mv is None or wanted.advice.voltage_mv >= 1150.0
