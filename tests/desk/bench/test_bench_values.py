"""Readings as people write them: understood with comma or point, refused or doubted where they look odd."""

from __future__ import annotations

import pytest

from evenhand.desk.bench.bench_values import room_doubt, understood, wall_doubt
from evenhand.errors import BadRecord


@pytest.mark.parametrize(
    ("key", "text", "value"),
    [
        ("ambient_c", "26.4", 26.4),
        ("ambient_c", "26,4", 26.4),
        ("ambient_c", " −3,5 °C ", -3.5),
        ("wall_w", "301 W", 301.0),
        ("wall_w", "301,5", 301.5),
        ("wall_w", "1.301,5", 1301.5),
        ("wall_w", "1,301.5", 1301.5),
        ("wall_w", "1\u00a0301", 1301.0),
    ],
)
def test_numbers_are_understood_as_people_write_them(key: str, text: str, value: float) -> None:
    assert understood(key, text) == pytest.approx(value)


@pytest.mark.parametrize(
    ("key", "text"),
    [
        ("ambient_c", "hot"),
        ("ambient_c", "99"),
        ("wall_w", "0"),
        ("wall_w", "-5"),
        ("wall_w", "9e9"),
        ("wall_w", "inf"),
    ],
)
def test_what_no_meter_shows_is_refused(key: str, text: str) -> None:
    with pytest.raises(BadRecord, match="is no"):
        understood(key, text)


def test_a_missing_digit_is_asked_about_and_a_light_load_too() -> None:
    assert wall_doubt(31, [301.0]).endswith("Is a digit missing?")
    assert wall_doubt(150, [301.0]).endswith("Was the rig under load?")
    assert wall_doubt(3010, [301.0]).endswith("Is there a digit too many?")
    assert wall_doubt(250, [301.0]) == ""
    assert wall_doubt(31, []) == ""


def test_a_reading_below_the_rigs_idle_is_asked_about() -> None:
    assert "below this rig’s idle, 48" in wall_doubt(31, [], idle=48.0)
    assert wall_doubt(52, [], idle=48.0) == ""


def test_a_room_that_moves_is_told_from_one_and_a_half_degrees_on() -> None:
    assert room_doubt(26.4, None, 24.9).startswith("The room has risen by 1.5")
    assert room_doubt(23.0, None, 24.9).startswith("The room has fallen by 1.9")
    assert room_doubt(26.3, (22.0, 27.0), 24.9) == ""
