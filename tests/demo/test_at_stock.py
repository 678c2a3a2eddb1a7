"""The second study of the example: Plover tuned and at stock, made of what is stated in advance."""

from __future__ import annotations

import csv
import io
import math
from collections import Counter
from itertools import pairwise
from statistics import fmean, stdev

import pytest

from evenhand.demo import at_stock as planted
from evenhand.demo.saltmarsh import saltmarsh
from evenhand.demo.trials import DRAWS, TUNED
from evenhand.folders.reading import read_study
from evenhand.folders.study_folder import STUDY_FILE, RunEntry, StudyFolder, files_named

FILES = planted.at_stock()
SETUPS = (planted.MILD, planted.STOCK)
CELLS = [(test, setup) for test in planted.GAINS for setup in SETUPS]


def study_of(text: bytes) -> StudyFolder:
    return read_study(text.decode(), where=STUDY_FILE)


STUDY = study_of(FILES[STUDY_FILE])


def rate(run: RunEntry) -> float:
    """What a run reached, by a reader of its own."""
    if run.log is None:
        assert run.score is not None
        return run.score
    bar = run.log.endswith(".txt")
    rows = csv.DictReader(io.StringIO(FILES[run.log].decode("ascii")), delimiter="|" if bar else ",")
    times_ms = [float(row["frame_us"]) / 1000 if bar else float(row["frame_ms"]) for row in rows]
    return 1000 * len(times_ms) / sum(times_ms)


def runs_of(test: str, setup: str) -> list[RunEntry]:
    return [run for run in STUDY.runs if (run.test, run.setup) == (test, setup)]


def clock_of(setup: str) -> float:
    (clock,) = {run.stamps["processor clock"] for run in STUDY.runs if run.setup == setup}
    return float(clock.removesuffix(" MHz"))


def test_the_same_seed_makes_the_same_bytes() -> None:
    assert planted.at_stock() == FILES
    assert planted.at_stock(seed=3) != FILES
    assert {STUDY_FILE, *files_named(STUDY)} == set(FILES)


def test_what_both_studies_use_is_the_same_in_both() -> None:
    first = study_of(saltmarsh()[STUDY_FILE])
    for part in STUDY.parts:
        assert part in first.parts
    assert set(STUDY.builds) <= set(first.builds)
    for test in STUDY.tests:
        assert test in first.tests
    mild, stock = STUDY.setups
    assert mild in first.setups
    assert stock.build == mild.build
    assert (stock.key, stock.state) == ("plover-stock", "stock")
    assert stock.stamps == mild.stamps
    assert stock.key not in {setup.key for setup in first.setups}


def test_what_is_known_of_plover_stands_in_the_first_study_alone() -> None:
    assert (STUDY.tuned, STUDY.trials, STUDY.heat, STUDY.facts, STUDY.prices) == ((), (), (), (), ())


@pytest.mark.parametrize(("test", "setup"), CELLS)
def test_five_runs_of_each_reach_the_true_rate_on_average(test: str, setup: str) -> None:
    logs = [math.log(rate(run)) for run in runs_of(test, setup)]
    assert len(logs) == 5
    assert math.exp(fmean(logs)) == pytest.approx(planted.true_rate(test, setup), rel=3e-4)
    assert 0.002 < stdev(logs) < 0.02


def test_no_gain_is_above_what_the_clock_rose_by() -> None:
    rise = clock_of(planted.MILD) / clock_of(planted.STOCK) - 1
    assert (clock_of(planted.STOCK), rise) == (TUNED.stock_clock_mhz, pytest.approx(0.0333, abs=1e-4))
    assert all(0 < gain < rise for gain in planted.GAINS.values())


def test_the_states_take_turns_in_blocks_each_from_a_boot_of_its_own() -> None:
    made = sorted(STUDY.runs, key=lambda run: run.order or 0)
    assert [run.order for run in made] == list(range(1, 31))
    assert made == sorted(made, key=lambda run: str(run.started_at))
    boots = list(dict.fromkeys(run.boot for run in made))
    assert Counter(run.boot for run in made) == dict.fromkeys(boots, 3)
    turns = ["AB"[SETUPS.index((boot or "").rpartition("-")[0])] for boot in boots]
    assert "".join(turns) == "ABBAABBAAB"


def test_a_run_has_ended_before_the_next_one_begins() -> None:
    minutes = {test.key: test.minutes for test in STUDY.tests}
    made = sorted(STUDY.runs, key=lambda run: run.order or 0)
    for run, after in pairwise(made):
        assert run.started_at is not None
        assert after.started_at is not None
        assert (after.started_at - run.started_at).total_seconds() > 60 * (minutes[run.test] or 0)


def test_watts_at_the_wall_are_more_by_what_the_part_draws_on_top() -> None:
    read = {cell: fmean(run.wall_w or 0.0 for run in runs_of(*cell)) for cell in CELLS}
    added = {test: read[test, planted.MILD] - read[test, planted.STOCK] for test in planted.GAINS}
    assert fmean(added.values()) == pytest.approx(planted.true_added_w(), abs=1.5)
    of_part = DRAWS.watts(4650.0, 1245.0, 76.0) - DRAWS.watts(4500.0, 1150.0, 70.0)
    assert of_part < added["render"] < of_part / 0.8, "the supply loses some on the way"
    assert added["causeway"] < added["render"], "a game leaves the processor waiting"


def test_the_room_stays_where_the_study_wants_it() -> None:
    low, high = STUDY.study.ambient_c or (0.0, 0.0)
    assert all(low <= (run.ambient_c or 0.0) <= high for run in STUDY.runs)


def test_stock_alone_was_heard_on_the_evening_of_the_others_after_them() -> None:
    before = [reading.at for reading in study_of(saltmarsh()[STUDY_FILE]).sound]
    assert {reading.setup for reading in STUDY.sound} == {planted.STOCK}
    assert Counter(reading.test for reading in STUDY.sound) == {"": 3, "causeway": 3}
    for reading in STUDY.sound:
        assert reading.at is not None
        assert all(at is not None and at < reading.at for at in before)
        assert (reading.at - min(at for at in before if at)).total_seconds() < 4 * 3600
