"""The anchor over time: limits from what came before, a drift, and no chart across a change."""

from datetime import datetime, timedelta

import pytest
from tests.findings.bench import around, cell

from evenhand.findings.control import Session, control_charts

START = datetime(2026, 5, 1)  # noqa: DTZ001


def sessions(*means, better="higher", under="driver 1"):
    return [
        Session(at=START + timedelta(days=i), cell=cell("anchor", around(m), better=better), under=under)
        for i, m in enumerate(means)
    ]


LEVEL = (4.0, 4.004, 3.997, 4.002, 3.999)


def test_a_level_anchor_is_inside_and_does_not_drift():
    (chart,) = control_charts(sessions(*LEVEL))
    assert not any(mark.outside for mark in chart.marks)
    assert (chart.drifts, chart.caveats) == (False, ())
    assert chart.marks[-1].low < chart.marks[-1].value < chart.marks[-1].high


def test_a_step_is_outside_and_told():
    (chart,) = control_charts(sessions(*LEVEL, 3.9))
    assert [mark.outside for mark in chart.marks] == [False] * 5 + [True]
    assert "1 of 6 bench days lies outside what those before it allow" in chart.caveats[0].words


@pytest.mark.parametrize(("better", "sign"), [("higher", 1), ("lower", -1)])
def test_a_drift_is_told_with_its_way_whatever_is_better(better, sign):
    means = [4 - 0.004 * i * sign + 0.0005 * (-1) ** i for i in range(8)]
    (chart,) = control_charts(sessions(*means, better=better))
    assert chart.drifts
    assert chart.drift_a_day == pytest.approx(0.996, abs=0.0005)
    assert "reads worse" in chart.caveats[-1].words


def test_limits_stand_in_the_unit_of_the_metric_also_where_less_is_better():
    (chart,) = control_charts(sessions(*LEVEL, better="lower"))
    assert chart.marks[-1].low < chart.marks[-1].value < chart.marks[-1].high


def test_no_chart_crosses_a_change():
    mixed = sessions(*LEVEL) + sessions(*LEVEL, under="driver 2")
    assert [chart.under for chart in control_charts(mixed)] == ["driver 1", "driver 2"]


def test_a_short_chart_says_that_it_has_no_limits_yet():
    (chart,) = control_charts(sessions(*LEVEL[:3]))
    assert [c.key for c in chart.caveats] == ["short-chart"]
    assert chart.drift_a_day is None


def test_sessions_come_in_order_of_time_and_empty_ones_are_left_out():
    empty = Session(at=START, cell=cell("anchor", []))
    (chart,) = control_charts([*sessions(*LEVEL)[::-1], empty])
    assert [mark.at for mark in chart.marks] == [START + timedelta(days=i) for i in range(5)]
