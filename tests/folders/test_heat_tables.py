"""What a study file says of temperature logs: read as written, written as read, or refused with reasons."""

from __future__ import annotations

from dataclasses import replace

import pytest
from tests.folders.test_reading import SOUND, read, refused
from tests.folders.test_trials import TUNED

from evenhand.folders.heat_tables import heat_key
from evenhand.folders.reading import read_study
from evenhand.folders.study_folder import files_named
from evenhand.folders.writing import write_study
from evenhand.records.heat import HeatColumns, LoggedHeat

LAYOUT = """
[[layouts]]
name = "warm"
kind = "sensors"
[layouts.columns]
elapsed_time = { column = "t", unit = "s" }
temperature = { column = "c", unit = "°C", about = "processor" }
power = { column = "w", unit = "W", about = "processor" }
"""
HEAT = """
[[heat]]
setup = "wren-mild"
part = "processor"
file = "heat/warm.csv"
layout = "warm"
temperature = "c"
watts = "w"
room_c = 23.5
to_s = 3600
clock_mhz = 4450
settings = { fan = "fixed" }
"""
WHOLE = SOUND + TUNED + LAYOUT + HEAT


def test_a_log_is_read_as_written_and_its_file_is_one_of_the_folder_s() -> None:
    found = read(WHOLE)
    (entry,) = found.heat
    assert entry.heat == LoggedHeat(
        setup="wren-mild", part="processor", log="", layout="",
        columns=HeatColumns(temperature="c", watts="w"), room_c=23.5, to_s=3600.0, clock_mhz=4450.0,
        settings={"fan": "fixed"},
    )  # fmt: skip
    assert (entry.file, entry.layout) == ("heat/warm.csv", "warm")
    assert "heat/warm.csv" in files_named(found)


def test_written_and_read_again_it_is_the_same() -> None:
    found = read(WHOLE)
    assert read_study(write_study(found), where="study.toml").heat == found.heat


@pytest.mark.parametrize(
    ("was", "now", "told"),
    [
        ('temperature = "c"\n', "", "the key 'temperature' is missing"),
        ('watts = "w"', 'watts = "c"', "the column 'c' is taken for two things"),
        ("room_c = 23.5", 'room_c = 23.5\nroom = "r"', "by a column and as one value"),
        ("room_c = 23.5", "room_c = 99", "must be less than or equal to 60"),
        ("to_s = 3600", "to_s = 10\nfrom_s = 20", "before it begins"),
        ('layout = "warm"', 'layout = "wram"', "did you mean 'warm'?"),
        ('file = "heat/warm.csv"', 'file = "../warm.csv"', "leads out of the study folder"),
        ('part = "processor"\nfile', 'part = "memory"\nfile', "is no tuned part of this file"),
        ("to_s = 3600", "to_s = 3600\nwhat = 1", "unknown key 'what'"),
    ],
)
def test_what_cannot_be_is_refused(was: str, now: str, told: str) -> None:
    assert was in WHOLE
    assert told in refused(WHOLE.replace(was, now))


def test_two_logs_of_one_key_are_refused() -> None:
    twice = HEAT + 'key = "h"\n'
    assert "two logs have the key 'h'" in refused(SOUND + TUNED + LAYOUT + twice + twice)


def test_a_key_hangs_on_what_is_said_of_which_bytes_and_not_on_notes() -> None:
    heat = read(WHOLE).heat[0].heat
    assert heat_key(heat) == heat_key(replace(heat, note="open window", by="left bench", id=4))
    for other in (replace(heat, log="a"), replace(heat, room_c=20.0), replace(heat, settings={})):
        assert heat_key(other) != heat_key(heat)
