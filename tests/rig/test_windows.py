"""What Windows' own programs print becomes readings; the outputs here have the form of its documentation."""

from __future__ import annotations

import pytest

from evenhand.rig.readings import windows

LOAD = r"\Processor Information(_Total)\% Processor Time"
CLOCK = r"\Processor Information(_Total)\% Processor Performance"
ZONE = r"\Thermal Zone Information(*)\Temperature"
MEMORY = r"\Memory\Available MBytes"

HEADER = (
    '"(PDH-CSV 4.0)","\\\\RIG\\Processor Information(_Total)\\% Processor Time",'
    '"\\\\RIG\\Thermal Zone Information(\\_TZ.TZ00)\\Temperature",'
    '"\\\\RIG\\Processor Information(_Total)\\% Processor Performance","\\\\RIG\\Memory\\Available MBytes"'
)


@pytest.fixture
def reader() -> windows.Reader:
    return windows.Reader(windows.counters(3600.0, 16384.0))


def test_a_line_of_numbers_is_read_under_the_names_of_the_line_before(reader: windows.Reader) -> None:
    assert reader("") == {}
    assert reader(HEADER) == {}
    found = reader('"05/04/2031 10:00:01.123","42.5","331.000000","130.0","9216.0"')
    assert found == pytest.approx({LOAD: 42.5, ZONE: 57.85, CLOCK: 4680.0, MEMORY: 7168.0})


def test_a_decimal_comma_is_read(reader: windows.Reader) -> None:
    reader(HEADER)
    assert reader('"04.05.2031 10:00:01,123","42,5","331,0","100,0","9216,0"')[LOAD] == pytest.approx(42.5)


def test_a_counter_that_gives_nothing_is_left_out(reader: windows.Reader) -> None:
    reader(HEADER)
    assert set(reader('"05/04/2031 10:00:02.123"," ","-1","130.0","9216.0"')) == {CLOCK, MEMORY}


def test_what_else_typeperf_says_is_no_reading(reader: windows.Reader) -> None:
    reader(HEADER)
    for line in ("Exiting, please wait...", "The command completed successfully.", '"x","1"'):
        assert reader(line) == {}


def test_without_a_base_clock_no_clock_is_asked_for() -> None:
    assert CLOCK not in {counter.path for counter in windows.counters(None, None)}
