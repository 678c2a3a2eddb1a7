"""Sensor logs: times of every usual writing, units turned into our own, oddities listed."""

from __future__ import annotations

from datetime import UTC, datetime

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from evenhand.errors import BadLog, BadRecord
from evenhand.records.layouts import Column, Layout, LogKind, Role
from evenhand.traces import flaws
from evenhand.traces.sensors import read_sensors
from evenhand.traces.trace import SensorLog


def _layout(*columns: Column) -> Layout:
    return Layout(fingerprint="", kind=LogKind.SENSORS, columns=columns)


def _read(times: list[str], *, zone: str = "", loads: list[str] | None = None) -> SensorLog:
    loads = loads or [str(k) for k in range(len(times))]
    lines = ["time; load [%]", *(f"{t}; {v}" for t, v in zip(times, loads, strict=True))]
    layout = _layout(
        Column(header="time", role=Role.TIMESTAMP, unit=zone), Column(header="load [%]", role=Role.LOAD)
    )
    return read_sensors(("\n".join(lines) + "\n").encode(), layout, name="rig.csv")


START = datetime(2031, 5, 14, 10, 20, 30, 500_000, tzinfo=UTC)


@pytest.mark.parametrize(
    ("first", "second"),
    [
        ("2031-05-14T10:20:30.5Z", "2031-05-14T10:20:32Z"),
        ("2031-05-14 10:20:30.500 UTC", "2031-05-14 10:20:32.000 UTC"),
        ("2031-05-14T12:20:30,5+02:00", "2031-05-14T12:20:32+0200"),
        ("2031-05-14T07:50:30.5-02:30", "2031-05-14T10:20:32+00"),
        ("2031/05/14 10:20:30.5Z", "2031/5/14 10:20:32Z"),
        ("14.05.2031 10:20:30.5Z", "14.05.2031 10:20:32Z"),
        ("05/14/2031 10:20:30.5Z", "05/14/2031 10:20:32Z"),
        ("1936520430.5", "1936520432"),
        ("1936520430500", "1936520432000"),
        ("1936520430500000", "1936520432000000"),
        ("1936520430500000000", "1936520432000000000"),
    ],
)
def test_the_usual_ways_to_write_a_time(first: str, second: str) -> None:
    log = _read([first, second])
    assert log.started_at == START
    assert log.time_s.tolist() == [0.0, 1.5]
    assert log.flaws == ()


def test_the_layout_may_give_the_zone() -> None:
    log = _read(["2031-05-14 12:20:30.5", "2031-05-14 12:20:32"], zone="+02:00")
    assert log.started_at == START
    assert log.flaws == ()


def test_a_zone_written_in_the_log_outranks_the_layout() -> None:
    assert _read(["2031-05-14 10:20:30.5Z", "2031-05-14 10:20:32Z"], zone="+02:00").started_at == START


def test_without_any_zone_utc_is_assumed_and_said_so() -> None:
    log = _read(["2031-05-14 10:20:30.5", "2031-05-14 10:20:32"])
    assert log.started_at == START
    assert [f.kind for f in log.flaws] == [flaws.ASSUMED_ZONE]


def test_a_zone_by_name_of_place_is_refused_in_words() -> None:
    with pytest.raises(BadRecord, match="no time zone"):
        _read(["2031-05-14 10:20:30", "2031-05-14 10:20:32"], zone="Saltmarsh")


def test_day_and_month_that_cannot_be_told_apart_are_read_day_first_and_said_so() -> None:
    log = _read(["04/05/2031 10:20:30Z", "04/05/2031 10:20:32Z"])
    assert log.started_at == datetime(2031, 5, 4, 10, 20, 30, tzinfo=UTC)
    assert [f.kind for f in log.flaws] == [flaws.ASSUMED_DATE_ORDER]


def test_dates_in_two_orders_are_refused() -> None:
    with pytest.raises(BadLog, match="two orders") as caught:
        _read(["14/05/2031 10:20:30Z", "05/14/2031 10:20:32Z"])
    assert caught.value.where == "rig.csv, column 'time'"


def test_a_time_of_day_alone_passes_midnight_and_gives_no_start() -> None:
    log = _read(["23:59:59.5", "00:00:00.5", "00:00:01.5"])
    assert log.time_s.tolist() == [0.0, 1.0, 2.0]
    assert log.started_at is None
    assert [(f.kind, f.line) for f in log.flaws] == [(flaws.PAST_MIDNIGHT, 3)]


def test_a_time_that_cannot_be_read_is_nan_and_listed() -> None:
    log = _read(["2031-05-14 10:20:30Z", "soon", "2031-02-30 10:20:32Z", "2031-05-14 10:20:33Z"])
    np.testing.assert_array_equal(log.time_s, [0.0, np.nan, np.nan, 3.0])
    assert [(f.kind, f.line, f.count) for f in log.flaws] == [(flaws.UNREADABLE_FIELD, 3, 2)]


def test_no_time_at_all_is_refused_with_line_and_column() -> None:
    with pytest.raises(BadLog, match="no time can be read") as caught:
        _read(["soon", "later"])
    assert caught.value.where == "rig.csv, line 2, column 'time'"


@given(st.datetimes(min_value=datetime(1980, 1, 1), max_value=datetime(2200, 1, 1)))  # noqa: DTZ001 - zone below
def test_any_instant_reads_back(when: datetime) -> None:
    text = when.isoformat(sep=" ", timespec="microseconds") + "Z"
    log = _read([text, text])
    assert log.started_at == when.replace(tzinfo=UTC)
    assert log.time_s.tolist() == [0.0, 0.0]


def test_elapsed_time_starts_at_the_first_reading() -> None:
    layout = _layout(
        Column(header="elapsed [ms]", role=Role.ELAPSED), Column(header="load [%]", role=Role.LOAD)
    )
    log = read_sensors(b"elapsed [ms],load [%]\n1500,1\n2000,2\n", layout, name="rig.csv")
    assert log.time_s.tolist() == [0.0, 0.5]
    assert log.started_at is None


def test_every_quantity_comes_in_its_own_unit() -> None:
    layout = _layout(
        Column(header="t", role=Role.ELAPSED, unit="s"),
        Column(header="core", role=Role.CLOCK, unit="GHz", about="processor"),
        Column(header="hot", role=Role.TEMPERATURE, unit="°F"),
        Column(header="draw", role=Role.POWER, unit="mW"),
        Column(header="fan [%]", role=Role.FAN),
        Column(header="used [GiB]", role=Role.MEMORY),
        Column(header="rail", role=Role.VOLTAGE, unit="mV"),
    )
    text = b"t|core|hot|draw|fan [%]|used [GiB]|rail\n0|4.5|212|65000|40|2|1250\n1|4.6|32|66000|41|2|1240\n"
    log = read_sensors(text, layout, name="rig.csv")
    assert [(c.role, c.unit) for c in log.channels] == [
        (Role.CLOCK, "MHz"),
        (Role.TEMPERATURE, "°C"),
        (Role.POWER, "W"),
        (Role.FAN, "%"),
        (Role.MEMORY, "MiB"),
        (Role.VOLTAGE, "V"),
    ]
    np.testing.assert_allclose([c.values[0] for c in log.channels], [4500, 100, 65, 40, 2048, 1.25])
    assert log.channels[0].about == "processor"


def test_late_readings_readings_back_in_time_and_copies_are_listed() -> None:
    times = [f"2031-05-14 10:20:{s:02d}Z" for s in (0, 1, 2, 3, 9, 10, 11, 11, 10, 12)]
    log = _read(times, loads=["1", "2", "3", "4", "5", "6", "7", "7", "8", "9"])
    found = {f.kind: f.line for f in log.flaws}
    assert found == {flaws.GAP: 6, flaws.DUPLICATED_ROW: 9, flaws.CLOCK_GOES_BACK: 10}


def test_sensors_without_a_single_reading_are_refused() -> None:
    with pytest.raises(BadLog, match="none of the 1 sensors has a reading") as caught:
        _read(["2031-05-14 10:20:30Z", "2031-05-14 10:20:31Z"], loads=["off", "off"])
    assert caught.value.where == "rig.csv, line 2, column 'load [%]'"


def test_a_layout_without_time_or_sensor_is_a_bad_record() -> None:
    with pytest.raises(BadRecord):
        read_sensors(b"a,b\n1,2\n", _layout(Column(header="a", role=Role.ELAPSED)), name="rig.csv")
