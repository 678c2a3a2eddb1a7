"""The pictures of the money page: bars of owning, lanes of days, cells of prices; each tells what is seen."""

from __future__ import annotations

import re
from dataclasses import replace
from datetime import date, timedelta

import pytest
from tests.publish import saltmarsh as s
from tests.publish.test_extremes import renamed

from evenhand.money.break_even import Value
from evenhand.money.owning import Keeping, owned
from evenhand.money.replay import DayValue, turns
from evenhand.money.value import Edge, grid
from evenhand.publish.figures.owning import Bar, full_scale, owning_bars, parts_of, places
from evenhand.publish.figures.price_grid import Grid, price_grid, prices_around
from evenhand.publish.figures.value_days import Days, value_days
from evenhand.records.prices import Currency

DRELL = Currency(symbol="dl", decimals=0)
KEPT = Keeping(
    years=3, repairs_minor=20, resale=(0.6, 0.8), fall=(0.25, 0.45), hours=(900, 1500), tariff=(0.28, 0.36)
)
FIRST = date(2031, 3, 1)


def bars(*prices: int, watts: float | None = 310.0) -> list[Bar]:
    return [
        Bar(setup=key, own=owned(price, watts, KEPT))
        for key, price in zip(("plover", "dunlin", "wren"), prices, strict=False)
    ]


def numbers(svg: str, name: str) -> list[float]:
    return [float(each) for each in re.findall(rf'{name}="([\d.]+)%?"', svg)]


def test_the_parts_of_a_bar_begin_where_the_one_before_ends_and_come_to_the_whole() -> None:
    (bar,) = bars(998)
    most = full_scale([bar])
    found = places(bar.own, most)
    assert found["energy"][0] == pytest.approx(found["lost"][1])
    end = found["repairs"][0] + found["repairs"][1]
    assert end == pytest.approx(100 * bar.own.whole.mid / most)
    assert sum(parts_of(bar.own).values()) == bar.own.whole.mid


def test_all_bars_stand_on_one_scale_and_none_leaves_the_picture() -> None:
    picture = owning_bars(bars(998, 1012, 742), s.NAMES, years=3, currency=DRELL)
    assert all(0 <= x <= 100 for x in (*numbers(picture.svg, "x1"), *numbers(picture.svg, "x2")))
    rects = re.findall(r'<rect [^>]*x="([\d.]+)%" width="([\d.]+)%"', picture.svg)
    assert len(rects) == 9
    assert all(float(x) + float(wide) <= 100.01 for x, wide in rects)
    assert "1,171\u00a0dl (915 to 1,405)" in picture.description
    assert picture.title == "What each costs to own over 3\u00a0years"


def test_electricity_that_is_not_counted_takes_no_room_and_is_not_called() -> None:
    picture = owning_bars(bars(998, watts=None), s.NAMES, years=3, currency=DRELL)
    assert "electricity" not in picture.svg
    assert '<rect class="cost energy b2" data-part="energy" data-setup="plover" x=' in picture.svg


def test_a_thing_that_is_resold_for_all_that_it_cost_has_a_bar_of_no_length() -> None:
    kept = Keeping(years=1, repairs_minor=0, resale=(1.0, 1.0), fall=(0.0, 0.0))
    bar = Bar(setup="plover", own=owned(500, None, kept))
    picture = owning_bars([bar], s.NAMES, years=1, currency=DRELL)
    assert bar.own.whole.mid == 0
    assert "nan" not in picture.svg
    assert "over 1\u00a0year" in picture.title


def days(values: list[Value]) -> list[DayValue]:
    return [
        DayValue(on=FIRST + timedelta(days=n), a_minor=998, b_minor=1012, value=value)
        for n, value in enumerate(values)
    ]


def test_each_day_has_a_cell_in_its_lane_and_days_without_a_price_have_none() -> None:
    every = days([Value.A] * 30 + [Value.LEVEL] * 10 + [Value.UNKNOWN] * 20 + [Value.B] * 30)
    drawn = Days(a="plover", b="dunlin", days=every, turns=tuple(turns(every)), seen="seen")
    svg = value_days(drawn, s.NAMES).svg
    assert svg.count('class="cell b2"') == 30
    assert svg.count('class="cell b3"') == 30
    assert svg.count('class="cell neither"') == 10
    assert len(re.findall('class="post"', svg)) == 2, "a line for each turn"
    assert "1 March 2031" in svg
    assert "29 May 2031" in svg


def test_a_day_on_which_one_was_not_to_be_had_has_an_empty_cell_in_its_lane() -> None:
    every = days([Value.A] * 30 + [Value.UNKNOWN] * 60)
    gone = [replace(day, b_minor=None, b_out=True) if 40 <= n < 45 else day for n, day in enumerate(every)]
    svg = value_days(Days(a="plover", b="dunlin", days=gone, turns=(), seen="seen"), s.NAMES).svg
    (cell,) = {re.sub(r'x="[\d.]+%"', "", each) for each in re.findall(r'<rect class="cell out"[^>]*>', svg)}
    assert svg.count('class="cell out"') == 5
    led = value_days(Days(a="plover", b="dunlin", days=days([Value.B]), turns=(), seen="seen"), s.NAMES).svg
    (dunlins,) = re.findall(r'<rect class="cell b3"[^>]*>', led)
    assert numbers(cell, " y") == numbers(dunlins, " y")


def test_prices_have_a_cell_for_each_pair_and_todays_is_outlined() -> None:
    across, up = prices_around(998, steps=8, step=0.01), prices_around(1012, steps=4, step=0.01)
    stands = grid(across, up, Edge(effect=0.0141, half=0.0126), margin=0.03)
    drawn = Grid(
        a="plover", b="dunlin", a_minor=across, b_minor=up, stands=stands, now=(8, 4), currency=DRELL,
        seen="seen",
    )  # fmt: skip
    svg = price_grid(drawn, s.NAMES).svg
    assert svg.count("<rect ") == len(across) * len(up)
    assert svg.count(" now") == 1
    assert svg.count("cell neither") > 0
    assert max(numbers(svg, " x")) <= 100


def test_a_name_brings_no_markup_into_them() -> None:
    evil = renamed(plover='<b>"x"</b>')
    picture = owning_bars(bars(998), evil, years=3, currency=DRELL)
    assert "<b>" not in picture.svg
