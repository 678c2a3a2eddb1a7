"""The control chart as a picture: every bench day, a band once there are limits, a cross beyond them."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta

import pytest

from evenhand.findings.control import Control, Mark
from evenhand.findings.finding import Caveat
from evenhand.publish.figures.control_chart import control_chart
from evenhand.publish.names import Names, SetupName, TestName
from evenhand.publish.time_words import control_sentence, steady_heading

NAMES = Names(
    setups={"wren": SetupName(name="Wren", slot=1)}, tests={"quay": TestName(name="Quay", unit="fps")}
)
DAY = datetime(2031, 5, 4, 9, 0, tzinfo=UTC)


def chart(days: int, *, outside: int | None = None, **more: object) -> Control:
    marks = tuple(
        Mark(
            at=DAY + timedelta(days=i), value=100.0 + i / 10, centre=100.0 if i > 2 else None,
            low=98.0 if i > 2 else None, high=102.0 if i > 2 else None, outside=i == outside, runs=3,
        )
        for i in range(days)
    )  # fmt: skip
    return Control(test="quay", anchor="wren", under="driver 1", marks=marks, **more)  # type: ignore[arg-type]


@pytest.mark.parametrize(("days", "bands"), [(1, 0), (3, 0), (4, 1), (6, 3)])
def test_every_day_has_a_mark_and_those_with_limits_a_band(days: int, bands: int) -> None:
    svg = control_chart(chart(days), NAMES).svg
    assert svg.count('class="dot b1"') == days
    assert svg.count('class="band"') == bands
    assert 'class="flag"' not in svg


def test_a_day_outside_is_crossed_and_told() -> None:
    picture = control_chart(chart(6, outside=5), NAMES)
    assert picture.svg.count('class="flag"') == 1
    assert "1 outside the limits" in picture.description
    assert steady_heading([chart(6, outside=5)], "wren", NAMES).endswith("stepped outside its limits in Quay")


def test_before_the_fourth_day_nothing_is_called_steady() -> None:
    said = steady_heading([chart(3)], "wren", NAMES)
    assert said == "Wren was measured on three bench days: limits are drawn from the fourth"
    short = Caveat(key="short-chart", words="no limits before there are 4 sessions: the anchor has 3")
    assert not control_sentence(chart(3, caveats=(short,)), NAMES)


def test_a_drift_is_told_with_its_size() -> None:
    drifting = chart(6, drift_a_day=0.995, drift_low=0.993, drift_high=0.997, drifts=True)
    assert "by −0.50 % (−0.70 to −0.30) a day" in control_sentence(drifting, NAMES).replace("\u00a0", " ")
    assert steady_heading([drifting], "wren", NAMES) == "Wren, the anchor, drifts in Quay"
    both = steady_heading([drifting, chart(6, outside=5)], "wren", NAMES)
    assert both == "Wren, the anchor, drifts in Quay and stepped outside its limits in Quay"
