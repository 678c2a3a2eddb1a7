"""A temperature log is of one tuned part: bytes are kept, columns said once, mistakes taken back."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest
from tests.desk.conftest import Bring
from tests.desk.small_folder import NOW, Folder
from tests.desk.tuning.small_chip import lay_part
from tests.desk.tuning.warm_log import LOG, NAMED, OF, brought, rows, written

from evenhand.desk.logs.identity import digest
from evenhand.desk.study.away import put_study_away
from evenhand.desk.tuning.heat import heat_logs
from evenhand.desk.tuning.heat_columns import guessed_meter, look_at
from evenhand.desk.tuning.heat_noting import (
    drafted_heat,
    keep_file,
    keep_log,
    note_heat,
    of_run,
    take_back_heat,
)
from evenhand.errors import BadLog, BadRecord, EvenhandError, NotFound
from evenhand.records.layouts import Column, Layout, LogKind, Role
from evenhand.records.trials import Meter
from evenhand.store import heat as heat_store
from evenhand.store import originals, shelves
from evenhand.store.workbench import Workbench


def logs(wb: Workbench) -> tuple[int, ...]:
    return tuple(each.id for each in heat_logs(wb, "wren", "processor"))


def test_a_file_is_kept_as_it_came_and_its_columns_are_guessed_by_what_they_sit_on(bench: Workbench) -> None:
    made = brought(bench)
    assert originals.original(bench, made.heat.log) == LOG
    columns = made.heat.columns
    assert (columns.temperature, columns.watts) == (NAMED["temperature"], NAMED["watts"])
    assert (columns.room, columns.fan, columns.clock) == (NAMED["room"], NAMED["fan"], NAMED["clock"])
    assert heat_logs(bench, "wren", "processor") == (made.heat,)


def test_the_same_said_of_the_same_bytes_is_the_same_log(bench: Workbench) -> None:
    first = brought(bench)
    assert not first.again
    assert brought(bench) == replace(first, again=True)
    assert brought(bench, to_s=1800.0).heat.id != first.heat.id


def test_brought_again_without_what_was_set_it_is_the_log_on_record(bench: Workbench) -> None:
    first = brought(bench, clock_mhz=5000.0, voltage_mv=1050.0, note="fan fixed")
    assert brought(bench) == replace(first, again=True)
    assert logs(bench) == (first.heat.id,)
    other = brought(bench, clock_mhz=5050.0)
    assert not other.again, "what is said otherwise is not lost"
    assert not brought(bench, room="", room_c=22.0).again


def test_what_a_person_says_of_a_column_counts_and_is_remembered(bench: Workbench) -> None:
    half = written(rows(), ("t [s]", "b [°C]", "c", "d", "e", "f", "g"))
    nameless = written(rows(), ("a", "b", "c", "d", "e", "f", "g"))
    file = look_at(bench, keep_log(bench, half, name="x"))
    assert file.asked is not None
    said = {**OF, "temperature": "b [°C]", "watts": "c", "room": "d", "clock": "g"}
    made = note_heat(bench, said, file, now=NOW)
    layout = shelves.one(bench, Layout, made.heat.layout)
    assert {c.header: c.role for c in layout.columns}["c"] is Role.POWER
    assert look_at(bench, made.heat.log).asked is None, "nobody is asked of these columns again"
    with pytest.raises(EvenhandError):
        note_heat(bench, said, look_at(bench, keep_log(bench, nameless, name="y")), now=NOW)


@pytest.mark.parametrize(
    ("said", "field", "found"),
    [
        ({"temperature": "nowhere"}, "temperature", "no column of this log"),
        ({"temperature": "graphics [°C]"}, "temperature", "is taken for two things"),
        ({"room": "processor [°C]"}, "temperature", "is taken for two things"),
        ({"room": NAMED["room"], "room_c": 22.0}, "room_c", "by a column and as one value"),
        ({"from_s": 900.0, "to_s": 300.0}, "to_s", "before it begins"),
        ({"room_c": 99.0}, "room_c", ""),
        ({"part": "memory"}, "part", "no tuned part"),
        ({"setup": "nobody"}, "setup", "not a setup"),
    ],
)  # fmt: skip
def test_what_cannot_be_is_refused_at_its_field(
    bench: Workbench, said: dict[str, object], field: str, found: str
) -> None:
    file = look_at(bench, keep_log(bench, LOG, name="warm.csv"))
    given = {**OF, **said}
    if said.get("temperature") == "graphics [°C]":
        given["watts"] = "graphics [°C]"
    problems = drafted_heat(bench, given, file).problems
    assert field in {each.field for each in problems}
    assert any(found in each.found for each in problems)


def with_graphics(bring: Bring, folder: Folder) -> Workbench:
    folder.document["parts"].append({"key": "g2", "kind": "graphics", "name": "Harrowfen G2"})
    folder.document["builds"][0]["parts"].append("g2")
    wb = bring(folder)
    lay_part(wb)
    return wb


def test_a_column_that_is_confirmed_as_another_part_s_is_refused(bring: Bring, folder: Folder) -> None:
    wb = with_graphics(bring, folder)
    brought(wb)
    with pytest.raises(BadRecord, match="a column of the graphics, and this is the processor"):
        brought(wb, temperature=NAMED["other"])


def test_a_guess_that_nobody_has_confirmed_gives_way_to_what_a_person_says(
    bring: Bring, folder: Folder
) -> None:
    wb = with_graphics(bring, folder)
    made = brought(wb, temperature=NAMED["other"])
    about = {c.header: c.about for c in shelves.one(wb, Layout, made.heat.layout).columns}
    assert about[NAMED["other"]] == "processor", "saving confirms it as the person says"
    assert (about[NAMED["watts"]], about[NAMED["room"]]) == ("processor", "room")


def sensed(folder: Folder, setup: str) -> str:
    """A run of a setup has the warm log beside it; its label."""
    columns = {
        "elapsed_time": {"column": NAMED["time"], "unit": "s"},
        "temperature": [{"column": NAMED[each], "about": about} for each, about in TEMPERATURES],
        "power": {"column": NAMED["watts"], "about": "processor"},
    }
    folder.document["layouts"].append({"name": "warm", "kind": "sensors", "columns": columns})
    run: dict[str, object] = next(run for run in folder.document["runs"] if run["setup"] == setup)
    run |= {"sensors": "warm.csv", "sensor_layout": "warm", "ambient_c": 23.5}
    folder.files["warm.csv"] = LOG
    return str(run["label"])


TEMPERATURES = (("temperature", "processor"), ("room", "room"))


def test_a_log_of_another_setup_s_run_is_refused(bring: Bring, folder: Folder) -> None:
    label = sensed(folder, "plover")
    wb = bring(folder)
    lay_part(wb)
    with pytest.raises(BadRecord, match=f"a log of {label}, a run of plover"):
        brought(wb)


def test_the_sensor_log_of_a_run_is_read_by_the_layout_of_that_run(bring: Bring, folder: Folder) -> None:
    label = sensed(folder, "wren")
    wb = bring(folder)
    lay_part(wb)
    run = of_run(wb, "wren", label)
    layout = run.layout
    assert run.room_c == 23.5
    made = note_heat(wb, OF, look_at(wb, run.log, layout=layout), now=NOW)
    assert made.heat.log == digest(LOG)
    assert made.heat.layout == layout.fingerprint, "nothing else was said of its columns"
    assert made.heat.columns.room == NAMED["room"]
    assert brought(wb, room=NAMED["room"], fan="", clock="").heat.columns == made.heat.columns


@pytest.mark.parametrize("data", [b"", b"\x00\x01\x02" * 50, b"a word and no rows"])
def test_a_file_that_is_no_log_is_refused_and_nothing_is_kept(bench: Workbench, data: bytes) -> None:
    with pytest.raises(BadLog):
        keep_log(bench, data, name="photo.csv")
    assert not originals.on_record(bench, digest(data))


def test_a_file_that_is_not_there_is_told(bench: Workbench, tmp_path: Path) -> None:
    with pytest.raises(BadLog, match="there is no such file"):
        keep_file(bench, tmp_path / "gone.csv")


def test_a_run_without_a_sensor_log_gives_none(bench: Workbench) -> None:
    with pytest.raises(NotFound, match="no run of wren with a sensor log"):
        of_run(bench, "wren", "nowhere")


def test_a_log_is_taken_back_with_a_reason_stays_and_may_be_noted_again(bench: Workbench) -> None:
    made = brought(bench)
    with pytest.raises(BadRecord):
        take_back_heat(bench, "wren", "processor", made.heat.id, " ", now=NOW)
    take_back_heat(bench, "wren", "processor", made.heat.id, "the probe lay on the desk", now=NOW)
    assert logs(bench) == ()
    assert heat_store.reasons(bench) == {made.heat.id: "the probe lay on the desk"}
    again = brought(bench)
    assert not again.again
    assert logs(bench) == (again.heat.id,)
    with pytest.raises(NotFound):
        take_back_heat(bench, "wren", "processor", made.heat.id, "again", now=NOW)


def test_a_study_that_is_put_away_takes_none(bench: Workbench) -> None:
    made = brought(bench)
    put_study_away(bench, "quay", note="", by="", now=NOW)
    with pytest.raises(EvenhandError):
        brought(bench, room_c=25.0)
    with pytest.raises(EvenhandError):
        take_back_heat(bench, "wren", "processor", made.heat.id, "no", now=NOW)
    assert logs(bench) == (made.heat.id,)


@pytest.mark.parametrize(
    ("header", "meter"),
    [
        ("processor [W]", Meter.PART),
        ("power of package-0 [W]", Meter.PART),
        ("wallpaper [W]", Meter.PART),
        ("watts, wall", Meter.WALL),
        ("Mains power", Meter.WALL),
        ("plug [W]", Meter.WALL),
    ],
)
def test_where_watts_were_read_is_guessed_by_the_name_of_their_column_and_may_be_said(
    bench: Workbench, header: str, meter: Meter
) -> None:
    columns = (Column(header=header, role=Role.POWER, unit="W"),)
    layout = Layout(fingerprint="", kind=LogKind.SENSORS, columns=columns)
    assert guessed_meter(layout, header) is meter
    assert brought(bench, watts_at="wall").heat.watts_at is Meter.WALL
