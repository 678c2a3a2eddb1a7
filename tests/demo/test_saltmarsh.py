"""The Saltmarsh folder is what its story says, told by readers that know nothing of the program's own."""

from __future__ import annotations

import csv
import gzip
import io
import json
import math
import statistics
from collections import Counter, defaultdict
from functools import cache
from itertools import pairwise

import pytest

from evenhand.demo.planted import PLANTED
from evenhand.demo.saltmarsh import saltmarsh
from evenhand.demo.truth import (
    GAMES,
    LOUDNESS,
    MACHINES,
    QUIET_ROOM_DB,
    SWAPPED,
    TASKS,
    Swapped,
    true_effects,
)
from evenhand.folders.reading import read_study
from evenhand.folders.study_folder import STUDY_FILE, RunEntry, files_named
from evenhand.folders.writing import write_study

FILES = saltmarsh()
STUDY = read_study(FILES[STUDY_FILE].decode(), where=STUDY_FILE)
FAULTY = {planted.label: planted.kind for planted in PLANTED}
RUNS = {run.label: run for run in STUDY.runs}

# The story's own table, in the order Wren, Plover, Dunlin.
RATES = {
    "causeway": (61, 88, 79.5),
    "tramlines": (54, 61, 71.5),
    "regatta": (118, 165, 148),
    "ember": (70, 96, 89),
    "choir": (83, 104, 103.6),
    "export": (9.2, 13.1, 12.4),
    "render": (3.10, 4.05, 4.60),
    "photo": (14.0, 16.0, 17.2),
    "load": (6.00, 7.40, 7.35),
}
PLOVER_OVER_DUNLIN = {
    "causeway": 10.7,
    "tramlines": -14.7,
    "regatta": 11.5,
    "ember": 7.9,
    "choir": 0.4,
    "export": 5.6,
    "render": -12.0,
    "photo": -7.0,
    "load": 0.7,
}
GAME_KEYS = ("causeway", "tramlines", "regatta", "ember", "choir")


def table(text: str, delimiter: str) -> list[dict[str, str]]:
    return list(csv.DictReader((line for line in io.StringIO(text) if line[0] != "#"), delimiter=delimiter))


def comma(raw: bytes) -> list[float]:
    return [float(row["frame_ms"]) for row in table(raw.decode("ascii"), ",")]


def semicolon(raw: bytes) -> list[float]:
    assert raw.startswith(b"\xef\xbb\xbf")
    assert raw.count(b"\r\n") == raw.count(b"\n")
    return [float(row["frame [ms]"].replace(",", ".")) for row in table(raw.decode("utf-8-sig"), ";")]


def tab(raw: bytes) -> list[float]:
    assert raw.startswith(b"\xff\xfe")
    text = raw.decode("utf-16")
    assert text.startswith("# ")
    return [float(row["frame time [ms]"]) for row in table(text, "\t")]


def pipe(raw: bytes) -> list[float]:
    return [int(row["frame_us"]) / 1000 for row in table(raw.decode("ascii"), "|")]


def json_lines(raw: bytes) -> list[float]:
    return [json.loads(line)["took_ms"] for line in raw.splitlines()]


def spaces(raw: bytes) -> list[float]:
    lines = [line.split() for line in raw.decode("ascii").splitlines() if not line.startswith("#")]
    assert lines[0] == ["t[s]", "dt[ms]"]
    return [float(line[1]) for line in lines[1:]]


def shown_at(raw: bytes) -> list[float]:
    at = [float(row["shown_at_s"]) for row in table(gzip.decompress(raw).decode("ascii"), ",")]
    return [1000 * (after - before) for before, after in pairwise(at)]


READERS = {
    "frames, comma": comma,
    "frames, semicolon": semicolon,
    "frames, tab": tab,
    "frames, pipe": pipe,
    "frames, json lines": json_lines,
    "frames, spaces": spaces,
    "frames, shown at": shown_at,
}


@cache
def frames(label: str) -> list[float]:
    run = RUNS[label]
    return READERS[run.layout or ""](FILES[run.log or ""])


def scores(name: str) -> dict[tuple[str, str], float]:
    text = FILES[name].decode()
    if name.endswith(".jsonl"):
        rows = [json.loads(line) for line in text.splitlines()]
    else:
        rows = table(text.replace(",", ".") if ";" in text else text, ";" if ";" in text else ",")
    return {(row["task"], row["take"]): float(row["result"]) for row in rows}


def headline(run: RunEntry) -> float:
    if run.log:
        times = frames(run.label)
        return 1000 * len(times) / math.fsum(times)
    if run.scores and run.row:
        return scores(run.scores)[run.row.test, run.row.run]
    assert run.score is not None
    return run.score


def log_mean(test: str, machine: str, *, also: tuple[str, ...] = ()) -> float:
    runs = [r for r in STUDY.runs if (r.test, r.setup) == (test, f"{machine}-mild")]
    return statistics.fmean(math.log(headline(r)) for r in runs if r.label not in FAULTY or r.label in also)


def index(tests: tuple[str, ...], *, also: tuple[str, ...] = ()) -> float:
    """Plover over Dunlin in percent, all tests alike."""
    ratios = (log_mean(t, "plover", also=also) - log_mean(t, "dunlin", also=also) for t in tests)
    return 100 * math.expm1(statistics.fmean(ratios))


def test_the_same_seed_gives_the_same_bytes() -> None:
    assert saltmarsh() == FILES


def test_another_seed_gives_other_logs_of_the_same_truth() -> None:
    other = saltmarsh(seed=1)
    assert other.keys() == FILES.keys()
    same = [name for name in FILES if name.startswith("logs/") and other[name] == FILES[name]]
    assert same == []


def test_the_study_names_every_file_and_no_other() -> None:
    assert set(files_named(STUDY)) == FILES.keys() - {STUDY_FILE}


def test_the_study_survives_being_read_and_written() -> None:
    assert write_study(STUDY).encode() == FILES[STUDY_FILE]


def test_five_runs_a_cell_and_three_more() -> None:
    cells = defaultdict(list)
    for run in STUDY.runs:
        cells[run.test, run.setup].append(run.label)
    swapped = {(test, f"{swap.machine.key}-mild") for swap in SWAPPED for test in swap.rates}
    assert len(swapped) == 4
    assert all(len(cells.pop(cell)) == 5 for cell in swapped)
    assert len(cells) == 27
    over = {label for labels in cells.values() if len(labels) == 6 for label in labels if label in FAULTY}
    assert over == {"Dunlin, Night render, hot room", "Wren, Salt Causeway 2, first go", "tramlines-final-2"}
    assert len(STUDY.runs) == 27 * 5 + 3 + 4 * 5


@pytest.mark.parametrize("layout", READERS)
def test_every_dialect_is_spoken_and_every_log_of_it_can_be_read(layout: str) -> None:
    runs = [run for run in STUDY.runs if run.log and run.layout == layout]
    assert len(runs) >= 5
    for run in runs:
        times = frames(run.label)
        assert len(times) > 2_900
        assert 55 < math.fsum(times) / 1000 < 75
        assert min(times) > 3


def test_a_cell_keeps_one_dialect() -> None:
    spoken = defaultdict(set)
    for run in STUDY.runs:
        spoken[run.test, run.setup].add(run.layout)
    assert all(len(layouts) == 1 for layouts in spoken.values())


@pytest.mark.parametrize("test", RATES)
def test_the_good_runs_of_a_cell_average_the_true_rate(test: str) -> None:
    for machine, truth in zip(("wren", "plover", "dunlin"), RATES[test], strict=True):
        assert math.exp(log_mean(test, machine)) == pytest.approx(truth, rel=1e-4)


@pytest.mark.parametrize(("test", "told"), PLOVER_OVER_DUNLIN.items())
def test_plover_over_dunlin_is_as_the_story_tells(test: str, told: float) -> None:
    assert round(index((test,)), 1) == told


def test_the_games_index_and_what_it_hangs_on() -> None:
    assert round(index(GAME_KEYS), 1) == 2.7
    without = {gone: round(index(tuple(t for t in GAME_KEYS if t != gone)), 1) for gone in GAME_KEYS}
    assert (without["tramlines"], without["regatta"], without["causeway"]) == (7.5, 0.6, 0.7)


def test_the_capped_run_would_move_the_games_index() -> None:
    capped = "Plover, Hollow Regatta 3"
    assert round(index(GAME_KEYS, also=(capped,)), 1) == 2.1
    alone = math.log(headline(RUNS[capped])) - log_mean("regatta", "dunlin")
    others = [math.log1p(index((t,)) / 100) for t in GAME_KEYS if t != "regatta"]
    assert round(100 * math.expm1(statistics.fmean([alone, *others])), 1) == -0.1


def test_runs_scatter_by_about_one_and_a_fifth_percent() -> None:
    cells = defaultdict(list)
    for run in STUDY.runs:
        if run.label not in FAULTY:
            cells[run.test, run.setup].append(math.log(headline(run)))
    assert math.sqrt(statistics.fmean(map(statistics.variance, cells.values()))) == pytest.approx(
        0.012, abs=0.001
    )


def test_machines_take_turns_and_each_block_has_a_fresh_boot() -> None:
    placed = sorted((run for run in STUDY.runs if run.order), key=lambda run: run.order or 0)
    assert [run.order for run in placed] == list(range(1, 158))
    starts = [run.started_at for run in placed if run.started_at]
    assert starts == sorted(starts)
    assert len(starts) == len(placed)
    extra = ("Dunlin, Night render, hot room", "Wren, Salt Causeway 2, first go")
    for test in RATES:
        turns = [
            run.setup[0]
            for run in placed
            if run.test == test and run.label not in extra and run.setup in STUDY.study.setups
        ]
        assert "".join(turns) == "wpd" + "dpw" + "wpd" + "dpw" + "wpd"
    boots = {run.boot for run in placed}
    machines = [*MACHINES, *(swap.machine for swap in SWAPPED)]
    assert boots == {f"{machine.key}-{n}" for machine in machines for n in range(1, 6)} | {"dunlin-6"}


def test_the_room_stays_between_23_and_25_degrees_but_for_the_hot_run() -> None:
    rooms = {run.label: run.ambient_c for run in STUDY.runs if run.ambient_c}
    assert rooms.pop("Dunlin, Night render, hot room") == 29.6
    assert 23 <= min(rooms.values()) <= max(rooms.values()) <= 25


def test_the_truth_of_the_generator_is_the_story() -> None:
    told = {test.key: tuple(test.rates.values()) for test in (*GAMES, *TASKS)}
    assert told == RATES


def test_the_swapped_machines_take_turns_on_a_day_of_their_own() -> None:
    days = {run.started_at.date() for run in STUDY.runs if run.started_at and run.setup in STUDY.study.setups}
    for test in ("causeway", "tramlines"):
        placed = sorted(
            (r for r in STUDY.runs if r.test == test and r.setup not in STUDY.study.setups),
            key=lambda run: run.order or 0,
        )
        assert "".join(run.setup[0] for run in placed) == "pd" + "dp" + "pd" + "dp" + "pd"
        assert not {run.started_at.date() for run in placed if run.started_at} & days


@pytest.mark.parametrize("swap", SWAPPED, ids=[swap.machine.key for swap in SWAPPED])
def test_the_good_runs_of_a_swap_average_its_true_rate(swap: Swapped) -> None:
    for test, truth in swap.rates.items():
        assert math.exp(log_mean(test, swap.machine.key)) == pytest.approx(truth, rel=1e-4)


def test_a_swap_is_one_machine_with_the_others_card() -> None:
    builds = {build.key: set(build.parts) for build in STUDY.builds}
    for swap in SWAPPED:
        own, like, other = builds[swap.machine.key], builds[swap.like], builds[swap.graphics_of]
        assert own - like == {part for part in other - like if "lantern" in part}
        assert len(like - own) == 1


def test_graphics_explains_most_of_both_tests_and_depends_a_little_in_one() -> None:
    for test, told in (("causeway", 10.7), ("tramlines", -14.7)):
        found = true_effects(test)
        assert round(100 * math.expm1(found.graphics + found.rest), 1) == told
        assert abs(found.graphics) > 4 * abs(found.rest)
        assert abs(found.rest) < math.log1p(STUDY.study.margin)
    assert abs(true_effects("causeway").between) < 0.001
    assert true_effects("tramlines").between == pytest.approx(0.027, abs=0.001)


def test_every_machine_is_read_idle_and_under_load_and_wren_idles_below_the_room() -> None:
    assert Counter((r.setup, r.test) for r in STUDY.sound) == {
        (f"{machine.key}-mild", test): 3 for machine in MACHINES for test in ("", "causeway")
    }
    assert {r.distance_m for r in STUDY.sound} == {0.6}
    assert all(r.temperatures_c and r.room_c for r in STUDY.sound)
    assert LOUDNESS["wren"][0] < QUIET_ROOM_DB
    idle = [r for r in STUDY.sound if (r.setup, r.test) == ("wren-mild", "")]
    assert all(r.level_db - (r.background_db or 0.0) < 3.0 for r in idle)
