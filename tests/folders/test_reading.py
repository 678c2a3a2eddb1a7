"""What a study file may say, and what its author hears when it cannot be used."""

from __future__ import annotations

from datetime import UTC, datetime

import pytest

from evenhand.errors import BadRecord
from evenhand.folders.reading import read_study
from evenhand.folders.study_folder import ScoreKey, StudyFolder, files_named
from evenhand.records.layouts import LogKind, Role
from evenhand.records.tests import Direction

SOUND = """
format = 1
[study]
key = "pair"
title = "Two machines"
ambient_c = [23.0, 27.0]
[[builds]]
key = "wren"
name = "Wren"
slot = 1
[[builds]]
key = "plover"
name = "Plover"
slot = 2
[[setups]]
key = "wren-mild"
build = "wren"
state = "mild tune"
[[setups]]
key = "plover-mild"
build = "plover"
name = "Plover, tuned"
[[tests]]
key = "causeway"
name = "Salt Causeway"
measures = "frames"
metric = "average_fps"
[[tests]]
key = "export"
name = "Timeline export"
measures = "score"
unit = "jobs/h"
direction = "higher"
[[layouts]]
name = "comma"
kind = "frames"
columns.frame_time = { column = "frame [ms]", unit = "ms" }
[[layouts]]
name = "sensors"
kind = "sensors"
columns.time_of_day = { column = "time" }
columns.clock = [
  { column = "core a [MHz]", unit = "MHz", about = "processor" },
  { column = "core b [MHz]", unit = "MHz", about = "graphics" },
]
[[runs]]
test = "export"
setup = "wren-mild"
score = 9.2
[[batches]]
test = "causeway"
setup = "plover-mild"
layout = "comma"
boot = "plover-1"
stamps = { driver = "31.4", os = "9" }
runs = [
  { log = "a.csv", order = 1, started_at = 2026-11-21T09:10:00Z },
  { log = "b.csv", order = 4, stamps = { driver = "31.6" } },
]
"""


def read(text: str) -> StudyFolder:
    return read_study(text, where="study.toml")


def refused(text: str) -> str:
    with pytest.raises(BadRecord) as caught:
        read(text)
    return str(caught.value)


def changed(old: str, new: str) -> str:
    assert SOUND.count(old) >= 1
    return SOUND.replace(old, new, 1)


def line_of(words: str, text: str = SOUND) -> int:
    return next(at for at, line in enumerate(text.split("\n"), 1) if words in line)


def test_a_study_compares_all_declared_setups_in_all_tests_unless_it_says_otherwise() -> None:
    study = read(SOUND).study
    assert study.setups == ("wren-mild", "plover-mild")
    assert study.tests == ("causeway", "export")
    assert study.margin == 0.03
    assert study.ambient_c == (23.0, 27.0)


def test_a_setup_is_called_after_its_build_and_state_unless_it_has_a_name() -> None:
    assert [setup.name for setup in read(SOUND).setups] == ["Wren, mild tune", "Plover, tuned"]


def test_a_frame_test_counts_frames_per_second_and_higher_is_better() -> None:
    causeway, export = read(SOUND).tests
    assert (causeway.unit, causeway.direction) == ("fps", Direction.HIGHER)
    assert (export.unit, export.metric) == ("jobs/h", "score")


def test_one_role_may_be_played_by_several_columns() -> None:
    sensors = read(SOUND).layouts[1]
    assert sensors.kind is LogKind.SENSORS
    assert [(c.role, c.about) for c in sensors.columns] == [
        (Role.TIMESTAMP, ""),
        (Role.CLOCK, "processor"),
        (Role.CLOCK, "graphics"),
    ]


def test_runs_of_a_batch_take_what_they_do_not_say_from_the_batch() -> None:
    _, first, second = read(SOUND).runs
    assert (first.test, first.setup, first.layout, first.boot) == (
        "causeway",
        "plover-mild",
        "comma",
        "plover-1",
    )
    assert first.started_at == datetime(2026, 11, 21, 9, 10, tzinfo=UTC)
    assert first.stamps == {"driver": "31.4", "os": "9"}
    assert second.stamps == {"driver": "31.6", "os": "9"}
    assert second.label == "plover-mild causeway 2"


def test_a_row_of_a_score_table_is_looked_up_under_the_key_of_its_test_unless_it_says_otherwise() -> None:
    text = changed("score = 9.2", 'scores = "scores.csv"\nrow = { run = "0" }')
    assert read(text).runs[0].row == ScoreKey(test="export", run="0")
    text = changed("score = 9.2", 'scores = "scores.csv"\nrow = { test = "Export 4K", run = "0" }')
    assert read(text).runs[0].row == ScoreKey(test="Export 4K", run="0")


def test_the_files_of_a_folder_are_those_its_runs_name() -> None:
    text = changed('layout = "comma"', 'layout = "comma"\nsensors = "day.csv"')
    assert files_named(read(text)) == ("a.csv", "day.csv", "b.csv")


WRONG = [
    ('title = "Two machines"', 'titel = "Two machines"', "unknown key 'titel'; did you mean 'title'?"),
    ('title = "Two machines"', "", "the key 'title' is missing"),
    ('title = "Two machines"', 'title = " "', "'title' is empty"),
    ('title = "Two machines"', "title = 5", "'title' must be text in quotes, not the number 5"),
    ('key = "pair"', 'key = "a pair"', "'a pair' cannot serve as a key"),
    ("ambient_c = [23.0, 27.0]", "ambient_c = [27.0, 23.0]", "write ambient_c = [23.0, 27.0]"),
    ("ambient_c = [23.0, 27.0]", "ambient_c = [24.0]", "'ambient_c' holds 1 values; write two"),
    ("ambient_c = [23.0, 27.0]", "ambient_c = [296.0, 300.0]", "'ambient_c' is 296.0"),
    ("ambient_c = [23.0, 27.0]", "margin = 0.0", "'margin' is 0.0; it must be greater than 0"),
    ("ambient_c = [23.0, 27.0]", "margin = 3", "'margin' is 3; it must be less than or equal to 0.5"),
    ("ambient_c = [23.0, 27.0]", "margin = nan", "'margin' is nan; write a finite number"),
    ("ambient_c = [23.0, 27.0]", 'setups = ["wren-mid"]', "did you mean 'wren-mild'?"),
    ("ambient_c = [23.0, 27.0]", 'tests = ["export", "export"]', "'export' is listed twice"),
    ("ambient_c = [23.0, 27.0]", "weights = { exprt = 2.0 }", "did you mean 'export'?"),
    ("ambient_c = [23.0, 27.0]", "weights = { export = -2.0 }", "'export' is -2.0"),
    ("slot = 2", "slot = 6", "'slot' is 6; it must be less than or equal to 5"),
    ("slot = 2", "slot = 1", "slot 1 is worn by 'wren' already; free: 2, 3, 4, 5"),
    ("slot = 2", "slot = 2.5", "'slot' must be a whole number, not the number 2.5"),
    ("slot = 2", 'slot = 2\nparts = ["cpu"]', "'cpu' is not a part of this file; no part is declared"),
    ('key = "plover"', 'key = "wren"', "the key 'wren' is taken by [[builds]] 1"),
    ('build = "wren"', 'build = "wern"', "'wern' is not a build of this file; did you mean 'wren'?"),
    ('measures = "frames"', 'measures = "frame"', "'measures' is 'frame'; did you mean 'frames'?"),
    ('direction = "higher"', 'direction = "up"', "'direction' is 'up'; known: higher, lower"),
    ('direction = "higher"', "", "a test that measures score needs the key 'direction'"),
    ('metric = "average_fps"', "", "a test that measures frames needs the key 'metric'"),
    ("columns.frame_time", "columns.frametime", "'frametime' is not a role; did you mean 'frame_time'?"),
    ('kind = "frames"', 'kind = "scores"', "a scores layout needs score"),
    ('unit = "ms" }', 'unit = "msx" }', "'msx' is not a unit of the table; use one of: ms, us, ns, s"),
    ('unit = "ms" }', 'unit = "W" }', "'W' is a unit of power, and frame time is not measured in it"),
    ('column = "core b [MHz]"', 'column = "core a [MHz]"', "the column 'core a [MHz]' is used twice"),
    ('{ column = "frame [ms]", ', '{ colum = "frame [ms]", ', "unknown key 'colum'; did you mean 'column'?"),
    ('test = "export"', 'test = "exprot"', "'exprot' is not a test of this file; did you mean 'export'?"),
    (
        'setup = "wren-mild"',
        'setup = "wren"',
        "'wren' is not a setup of this file; did you mean 'wren-mild'?",
    ),
    ('setup = "wren-mild"', "", "the key 'setup' is missing"),
    ("score = 9.2", "", "the run has neither a log nor a score"),
    (
        "score = 9.2",
        'score = 9.2\nscores = "s.csv"\nrow = { run = "1" }',
        "the run has both score and scores",
    ),
    ("score = 9.2", "score = -9.2", "'score' is -9.2; it must be greater than 0"),
    ("score = 9.2", "score = 0", "'score' is 0; it must be greater than 0"),
    ("score = 9.2", "score = inf", "'score' is inf; write a finite number"),
    ("score = 9.2", 'score = "9.2"', "'score' must be a number, not the text '9.2'"),
    ("score = 9.2", 'log = "a b.csv"', "the test 'export' measures score and needs a score, not log"),
    ("score = 9.2", 'scores = "s.csv"', "'scores' without 'row'; add row = ..."),
    ("score = 9.2", 'score = 9.2\nrow = { run = "1" }', "'row' without 'scores'"),
    ("score = 9.2", "score = 9.2\nboot = 1", "'boot' must be text in quotes, not the number 1; write \"1\""),
    ("score = 9.2", "score = 9.2\norder = -1", "'order' is -1"),
    (
        "score = 9.2",
        "score = 9.2\nstarted_at = 2026-11-21T09:10:00",
        "'started_at' does not say its time zone",
    ),
    (
        "score = 9.2",
        'score = 9.2\nstarted_at = "noon"',
        "'started_at' must be a date and time, not the text 'noon'",
    ),
    ("score = 9.2", "score = 9.2\nstamps = { driver = 31.4 }", "'driver' must be text in quotes"),
    (
        "score = 9.2",
        'score = 9.2\ndecisions = [{ at = 2026-11-21T09:10:00Z, state = "keep" }]',
        "'state' is 'keep'",
    ),
    (
        "score = 9.2",
        'score = 9.2\ndecisions = [{ at = 2026-11-21T09:10:00Z, state = "set aside" }]',
        "without a reason",
    ),
    (
        "score = 9.2",
        'score = 9.2\ndecisions = [{ at = 2026-11-21T09:10:00Z, state = "set aside", reason = "rate-caps" }]',
        "'reason' is 'rate-caps'; did you mean 'rate-cap'?",
    ),
    (
        "score = 9.2",
        "score = 9.2\ndecisions = [{ at = 2026-11-21T09:10:00Z, grounds = [{ severty = '' }] }]",
        "unknown key 'severty'; did you mean 'severity'?",
    ),
    (
        "[[layouts]]",
        "[tests.script]\ncommand = 'x'\nscore = '('\n\n[[layouts]]",
        "the pattern '(' cannot be read",
    ),
    (
        "[[layouts]]",
        "[tests.window]\nstart_s = 5.0\nend_s = 5.0\n\n[[layouts]]",
        "nothing lies between 5 s and 5 s",
    ),
    ("[[layouts]]", "[tests.window]\nbegin = 5.0\n\n[[layouts]]", "unknown key 'begin'"),
    (
        "score = 9.2",
        "score = 9.2\nwindow = { start_s = 5.0, reason = 'x' }",
        "a score has no frames to be cut",
    ),
    (
        'log = "a.csv"',
        'log = "a.csv", window = { start_s = 5.0 }',
        "a run has a window of its own without a reason",
    ),
    ('log = "a.csv"', 'log = "/home/a.csv"', "the file name '/home/a.csv' is absolute"),
    ('log = "a.csv"', 'log = "C:/a.csv"', "the file name 'C:/a.csv' is absolute"),
    ('log = "a.csv"', 'log = "../a.csv"', "leads out of the study folder"),
    ('log = "a.csv"', 'log = "x/../../a.csv"', "leads out of the study folder"),
    ('log = "a.csv"', "log = 'x\\a.csv'", "write forward slashes"),
    ('log = "a.csv"', 'log = "x//a.csv"', "names no file"),
    ('log = "a.csv"', 'log = "b.csv"', "another run has this log already"),
    (
        'log = "a.csv"',
        'log = "a.csv", label = "plover-mild causeway 2"',
        "another run has this label already",
    ),
    (
        'layout = "comma"',
        'layout = "coma"',
        "'coma' is not a frames layout of this file; did you mean 'comma'?",
    ),
    ('layout = "comma"', 'layout = "sensors"', "'sensors' is not a frames layout of this file"),
    ('layout = "comma"', 'sensor_layout = "comma"', "'comma' is not a sensors layout of this file"),
    ('layout = "comma"', 'layoutt = "comma"', "unknown key 'layoutt'; did you mean 'layout'?"),
    ("[[runs]]", "[[runz]]", "unknown table or key 'runz'; did you mean 'runs'?"),
    ("[[runs]]", "[runs]", "'runs' is not a list of tables; write [[runs]]"),
    ("format = 1", "format = 2", "this program reads format 1"),
]


@pytest.mark.parametrize("role", ["frame_time", "elapsed_time", "time_of_day"])
def test_any_clock_by_itself_makes_a_layout_of_frames(role: str) -> None:
    text = changed("columns.frame_time = { column", f"columns.{role} = {{ column")
    (column,) = read(text.replace(', unit = "ms"', "")).layouts[0].columns
    assert column.header == "frame [ms]"


@pytest.mark.parametrize(("old", "new", "told"), WRONG, ids=[told for _, _, told in WRONG])
def test_what_is_wrong_is_told_with_its_line(old: str, new: str, told: str) -> None:
    said = refused(changed(old, new))
    assert told in said
    assert "line " in said


def test_the_line_is_the_one_where_the_mistake_stands() -> None:
    text = changed('driver = "31.6"', "driver = 31.6")
    line = line_of("driver = 31.6", text)
    assert refused(text).startswith(f"study.toml, line {line}, [[batches]] 1, runs 2, stamps, driver: ")


def test_all_problems_are_told_at_once_in_the_order_of_their_lines() -> None:
    text = (
        changed("slot = 2", "slot = 9")
        .replace("score = 9.2", "score = -1", 1)
        .replace("[23.0, 27.0]", "[27.0, 23.0]")
    )
    said = refused(text)
    assert said.startswith("study.toml: 3 things cannot be used:")
    places = [said.index(words) for words in ("line 6, [study], ambient_c", "'slot' is 9", "'score' is -1")]
    assert places == sorted(places)


@pytest.mark.parametrize("slot", [6, 5])
def test_a_study_holds_five_builds_and_says_what_to_do_with_more(slot: int) -> None:
    """Whether the sixth wears a colour that there is not or one that is worn already."""
    more = "".join(f'[[builds]]\nkey = "b{at}"\nname = "B{at}"\nslot = {at}\n' for at in (3, 4, 5))
    said = refused(f'{SOUND}\n{more}[[builds]]\nkey = "b6"\nname = "B6"\nslot = {slot}\n')
    assert "five builds" in said
    assert "put the others into another study" in said
    assert "free:" not in said


def test_a_broken_table_is_not_told_again_by_everything_that_names_it() -> None:
    said = refused(changed('name = "Plover"', "name = 4"))
    assert "'name' must be text" in said
    assert "things cannot be used" not in said


def test_text_that_is_no_toml_is_refused_with_its_line() -> None:
    assert refused('[study]\nkey = "a"\ntitle = oops\n').startswith(
        "study.toml, line 3, column 9: this is not TOML"
    )
    assert "end of document" in refused("[study]\nkey = 'a")
    assert "nested too deeply" in refused("a = " + "[" * 100_000)


def test_a_file_without_a_study_is_refused() -> None:
    assert "the table [study] is missing" in refused("")


def test_a_batch_without_runs_is_refused() -> None:
    text = "[study]\nkey = 'a'\ntitle = 'A'\n[[batches]]\ntest = 'x'\n"
    assert "line 4, [[batches]] 1: the batch has no list of runs" in refused(text)
