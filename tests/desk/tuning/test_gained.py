"""Whether tuning was worth it: gains as everywhere, shares of the clock, watts, noise, or what would tell."""

from __future__ import annotations

import json
import math
import re
from collections.abc import Mapping
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from scipy import stats
from tests.conftest import NOW
from tests.desk.small_folder import Folder
from tests.desk.swapped_folder import SPREAD
from tests.desk.tuning.tuned_pair import PART, RISE, TESTS, measured, pair

from evenhand.desk.logs.importing import import_folder
from evenhand.desk.names import names_of
from evenhand.desk.on_record import StudyOnRecord, load_study
from evenhand.desk.tuning.elastic import elasticity_of
from evenhand.desk.tuning.gain_pictures import gain_pictures
from evenhand.desk.tuning.gained import Gained, NoSibling, gained_of
from evenhand.desk.tuning.gained_said import WorthSaid, by_state, worth_answer, worth_said
from evenhand.desk.tuning.noting import note_limit, note_trial, note_tuned
from evenhand.desk.tuning.of_study import setup_of_study
from evenhand.errors import NotFound
from evenhand.findings.finding import Index, Outcome
from evenhand.publish.names import SetupName
from evenhand.publish.palette import Theme, colour, slot
from evenhand.publish.style import card, page
from evenhand.publish.tuning.alone import Alone, lacking_words
from evenhand.store.tuned import tuned_parts
from evenhand.store.workbench import Workbench
from evenhand.tuning.bands import Band


class Bench:
    """A workbench with the pair on it."""

    def __init__(self, wb: Workbench, tmp_path: Path) -> None:
        self.wb, self.place = wb, tmp_path / "study"

    def bring(self, folder: Folder) -> StudyOnRecord:
        import_folder(self.wb, folder.write(self.place), now=NOW)
        note_tuned(self.wb, PART, now=NOW)
        return load_study(self.wb, "mole")

    def gained(self, folder: Folder) -> Gained:
        found = gained_of(self.wb, self.bring(folder), "tuned")
        assert isinstance(found, Gained)
        return found

    def said(self, folder: Folder) -> WorthSaid:
        return worth_said(self.wb, self.bring(folder), "tuned")


@pytest.fixture
def bench(wb: Workbench, tmp_path: Path) -> Bench:
    return Bench(wb, tmp_path)


def plain(words: str) -> str:
    return words.replace("\u00a0", " ").replace("\u2068", "").replace("\u2069", "")


def test_the_gain_is_that_of_any_comparison_with_the_allowances_of_any(bench: Bench) -> None:
    found = bench.gained(measured(pair()))
    assert (found.tuned, found.stock, found.parts) == ("tuned", "stock", ("processor",))
    assert isinstance(found.overall, Index)
    assert found.overall.ratio == pytest.approx(math.exp(0.6 * RISE), rel=1e-4)
    assert found.overall.outcome is Outcome.AHEAD
    first = found.comparison.findings[0]
    d, se = 0.6 * RISE, math.sqrt(2 * float(np.var(SPREAD, ddof=1)) / len(SPREAD))
    alone = math.exp(d - stats.t.ppf(0.975, 8) * se)
    assert first.low is not None
    assert first.low >= alone - 1e-9, "spread that three tests share tells no less than one test by itself"
    assert first.low < math.exp(d)


def test_each_test_says_what_share_of_the_clock_it_made_rate_of(bench: Bench) -> None:
    found = bench.gained(pair())
    assert dict(found.rises) == {"processor clock": (4000.0, 4400.0)}
    assert {test: slope.value for test, slope in found.shares.items()} == pytest.approx(
        dict.fromkeys(TESTS, 0.6), abs=1e-3
    )


def test_watts_are_those_on_top_of_stock_in_the_tests_of_both(bench: Bench) -> None:
    watts = bench.gained(measured(pair())).watts
    assert watts is not None
    assert watts.tests == TESTS
    assert watts.stock_w == pytest.approx(200.4), "the mean of 200, 202, 198, 200 and 202"
    assert isinstance(watts.added_w, Band)
    assert watts.added_w.low < 24.0 < watts.added_w.high
    assert watts.added_w.half < 3.0, "its three tests err together, as their boots are the same"


def test_watts_on_top_of_unlike_tests_are_the_mean_of_what_each_draws_more(bench: Bench) -> None:
    folder, stock = measured(pair()), {"quay": 80.0, "mole": 200.0, "pier": 320.0}
    for run in folder.runs:
        if "wall_w" in run:
            run["wall_w"] += stock[run["test"]] - 200.0
    watts = bench.gained(folder).watts
    assert watts is not None
    assert isinstance(watts.added_w, Band)
    assert watts.added_w.value == pytest.approx(24.0), "a mean ratio would make 32 W of it"
    assert watts.added_w.half < 3.0
    assert watts.over.ratio is not None
    assert watts.stock_w * (1 / watts.over.ratio - 1) == pytest.approx(32.2, abs=0.5)


def test_the_sentence_says_what_it_buys_on_average_and_for_what(bench: Bench) -> None:
    said = plain(bench.said(measured(pair())).answer)
    assert said.startswith("Tuning Tern's processor buys 5.9 % (")
    assert said.endswith("on average of three tests for 24 W more at the wall and 3.1 dB more.")


def test_tests_that_stand_otherwise_than_on_average_are_counted_in_the_sentence(bench: Bench) -> None:
    gains = {"quay": 0.9 * RISE, "mole": 0.8 * RISE, "pier": 0.0}
    said = plain(bench.said(pair(gains)).answer)
    assert "Tuning Tern's processor buys" in said
    assert said.endswith("; in one test it is level.")


@pytest.mark.parametrize(
    ("gain", "begins"),
    [
        (
            0.0,
            "Tuning Tern's processor buys nothing that matters: level within ±3 % on average of three tests",
        ),
        (-0.8, "Tuning Tern's processor loses"),
        (0.3, "Tuning Tern's processor buys"),
    ],
)
def test_level_and_behind_are_said_as_that(bench: Bench, gain: float, begins: str) -> None:
    assert plain(bench.said(pair(dict.fromkeys(TESTS, gain * RISE))).answer).startswith(begins)


def test_of_one_test_the_finding_speaks_for_itself(bench: Bench) -> None:
    said = plain(bench.said(pair({"quay": 0.8 * RISE})).answer)
    assert "in one test" in said


def test_a_gain_above_what_the_clock_rose_by_is_doubted_with_the_reason(bench: Bench) -> None:
    said = bench.said(pair({"quay": 1.6 * RISE, "mole": 0.5 * RISE, "pier": 0.5 * RISE}))
    assert "In Quay the rate gained more than the clock rose by" in plain(said.doubt)
    assert [share.endswith("more than the clock rose by") for share in said.shares.values()] == [
        True, False, False
    ]  # fmt: skip


def test_what_is_not_read_is_named_with_what_to_read(bench: Bench) -> None:
    said = bench.said(pair(clocks=False))
    assert "No clock is known to have risen" in said.rise
    assert set(said.shares.values()) == {""}
    assert len(said.lacking) == 3
    assert "watts at the wall of both" in said.lacking[0]


@pytest.mark.parametrize(
    ("states", "clocks", "stock"),
    [
        (("stock", "mild tune"), False, "stock"),
        (("as it came", "mild tune"), True, "stock"),
        (("as it came", "mild tune"), False, None),
    ],
)
def test_stock_is_what_is_called_so_or_else_what_is_slower(
    bench: Bench, states: tuple[str, str], clocks: bool, stock: str | None
) -> None:
    record = bench.bring(pair(states=states, clocks=clocks))
    found = gained_of(bench.wb, record, "tuned")
    assert (found.stock if isinstance(found, Gained) else None) == stock


def test_without_a_stock_sibling_it_says_which_runs_would_tell_and_for_how_long(bench: Bench) -> None:
    record = bench.bring(pair(stock=False))
    assert isinstance(gained_of(bench.wb, record, "tuned"), NoSibling)
    said = worth_said(bench.wb, record, "tuned")
    assert "no other setup of Tern has runs" in plain(said.answer)
    told = plain(" ".join(said.lacking))
    assert "five runs of each of three tests on both" in told
    assert "about 2 h in all" in told, "2 setups × 5 runs × 3 tests × 4 minutes"
    assert (said.tests, said.held) == ((), None)


def test_a_part_noted_under_stock_alone_is_told_what_to_do_in_order_and_that_tests_are_missing() -> None:
    alone = Alone(build="Heron", at_stock=True, there=(), tests=(), minutes=None, runs=5)
    answer, *steps = map(plain, lacking_words("Heron's processor", alone))
    assert answer.endswith("not known: its setup is Heron at stock, and there is none of its tuned state.")
    assert [each.split()[0] for each in steps] == ["First", "Then", "Then"]
    assert steps[0].startswith(
        "First add a setup of Heron in its tuned state, as in “mild tune”, and note the"
    )
    assert "in the state “stock”" not in " ".join(steps)
    assert steps[1].startswith("Then add tests: the study has none yet")
    assert "five runs of each test on both" in steps[2]
    assert "no tests" not in " ".join(steps)


def test_a_tuned_part_without_stock_is_told_to_add_stock_first() -> None:
    alone = Alone(build="Heron", at_stock=False, there=(), tests=("a", "b"), minutes=None, runs=5)
    _, first, last = map(plain, lacking_words("Heron's processor", alone))
    assert first.startswith("First add a setup of Heron in the state “stock”.")
    assert "five runs of each of two tests on both" in last


def test_a_setup_called_stock_is_known_as_that(bench: Bench) -> None:
    record = bench.bring(pair())
    found = gained_of(bench.wb, record, "stock")
    assert isinstance(found, NoSibling)
    assert found.at_stock
    said = worth_said(bench.wb, record, "stock")
    assert said.lacking[0].startswith("First note the part under the tuned setup of Tern (")


def test_setups_that_are_neither_stock_nor_slower_are_named(bench: Bench) -> None:
    said = bench.said(pair(states=("as it came", "mild tune"), clocks=False))
    assert "of the other setups of Tern (Stock) none is called stock, and by their clocks none is slower" in (
        plain(said.answer)
    )


def warmed(bench: Bench, stock_hours: float) -> str:
    """What is told of the degrees of tuning by trials of stock of so long, and of 24 h where it held."""
    record = bench.bring(measured(pair()))
    limit = {"quantity": "voltage", "most": 1250.0, "source": "data sheet"}
    note_limit(bench.wb, "tuned", "processor", limit, now=NOW, today=NOW.date())
    at = {"setup": "tuned", "part": "processor", "load": "integers", "room_c": 24.0, "clock_mhz": 4000.0}
    for volts, hours, ended, hot in (
        (1000, stock_hours, "passed", 70.0), (995, 0.1, "crash", 69.5), (990, 0.05, "crash", 69.0),
        (985, 0.01, "crash", 69.0), (1060, 24.0, "passed", 76.0),
    ):  # fmt: skip
        note_trial(bench.wb, at | {"voltage_mv": float(volts), "hours": hours, "outcome": ended,
                                   "hottest_c": hot}, now=NOW)  # fmt: skip
    return plain(" ".join(worth_said(bench.wb, load_study(bench.wb, record.study.key), "tuned").costs))


def test_trials_of_equal_times_say_how_much_warmer_the_point_is_whose_hours_are_claimed(bench: Bench) -> None:
    told = warmed(bench, 23.5)
    assert (
        "In trials of integers of 23 h 30 min each the processor was 46.0 K above the room at 4,000 MHz at 1"
        in told
    )
    assert "and 52.0 K at 4,000 MHz at 1,060 mV, by its hottest readings." in told


def test_ten_minutes_of_stock_are_held_against_no_day_of_the_tuned_part(bench: Bench) -> None:
    told = warmed(bench, 1 / 6)
    assert "46.0" not in told
    assert "52.0" not in told
    assert (
        "How much hotter the processor gets is not told: trials of integers with temperatures ran 10 min at "
        in told
    )


def test_the_picture_shows_every_test_and_tells_the_two_by_their_states(bench: Bench) -> None:
    record = bench.bring(measured(pair()))
    found = gained_of(bench.wb, record, "tuned")
    assert isinstance(found, Gained)
    first, *_ = gain_pictures(found, record, names_of(record), style=page())
    told = plain(f"{first.title} {first.description}")
    assert "Tuning Tern's processor buys" in told
    assert "Mild tune over Stock" in told
    assert all(test.capitalize() in told for test in TESTS)


def test_its_wide_card_names_build_part_and_clocks_and_each_state_once_over_the_plot(bench: Bench) -> None:
    record = bench.bring(measured(pair(dict.fromkeys(TESTS, 0.001))))
    found = gained_of(bench.wb, record, "tuned")
    assert isinstance(found, Gained)
    first, *_ = gain_pictures(found, record, names_of(record), style=card())
    told = plain(first.svg)
    assert "Tern's processor" in plain(first.title)
    assert "24 W more at the wall and 3.1 dB more" in plain(first.title)
    assert "Processor clock: 4,000 MHz to 4,400 MHz." in told
    over = re.findall(r">([^<]*(?:Mild tune|Stock)[^<]*)</text>", told)
    assert sorted(over) == ["Mild tune ahead", "Stock ahead"]


def test_tuned_and_stock_are_told_apart_by_mark_and_colour(bench: Bench) -> None:
    record = bench.bring(measured(pair()))
    found = gained_of(bench.wb, record, "tuned")
    assert isinstance(found, Gained)
    names = names_of(record)
    told = by_state(found, names)
    tuned, stock = (slot(told[key].slot) for key in (found.tuned, found.stock))
    assert tuned == names.slot("tuned"), "the machine keeps its own"
    assert stock not in (tuned, names.slot("other")), "nor is stock taken for another build"
    first, *_ = gain_pictures(found, record, names, style=card())
    for each in (tuned, stock):
        assert re.search(f'd="{each.mark}"[^>]* fill="{colour(each.ink, Theme.LIGHT)}"', first.svg)


def test_where_five_builds_wear_every_colour_stock_still_has_another_mark_than_what_was_tuned(
    bench: Bench,
) -> None:
    record = bench.bring(measured(pair()))
    found = gained_of(bench.wb, record, "tuned")
    assert isinstance(found, Gained)
    worn = {str(n): SetupName(name=str(n), slot=n) for n in range(1, 6)}
    both = dict.fromkeys((found.tuned, found.stock), SetupName(name="Tern", slot=5))
    told = by_state(found, replace(names_of(record), setups=worn | both))
    assert {key: each.slot for key, each in told.items()} == {found.tuned: 5, found.stock: 1}


def test_what_programs_are_told_is_plain_json(bench: Bench) -> None:
    record = bench.bring(measured(pair()))
    told = worth_answer(worth_said(bench.wb, record, "tuned"), record, "tuned")
    again = json.loads(json.dumps(told, allow_nan=False))
    assert again["stock"] == "stock"
    low, value, high = again["watts"]["added_w"]
    assert low < value < high


def test_a_setup_of_no_study_is_not_found(bench: Bench) -> None:
    record = bench.bring(pair())
    assert setup_of_study(record, "tuned") == "tuned"
    with pytest.raises(NotFound, match="tund is no setup"):
        setup_of_study(record, "tund")


def test_another_build_is_no_sibling(bench: Bench) -> None:
    found: Mapping[str, object] = {"kind": type(gained_of(bench.wb, bench.bring(pair()), "other"))}
    assert found["kind"] is NoSibling


def test_a_doubted_gain_is_told_in_the_sentence_and_at_the_foot_of_the_picture(bench: Bench) -> None:
    record = bench.bring(pair({"quay": 1.6 * RISE, "mole": 0.5 * RISE, "pier": 0.5 * RISE}))
    assert plain(worth_said(bench.wb, record, "tuned").answer).endswith("; one gain is doubted.")
    found = gained_of(bench.wb, record, "tuned")
    assert isinstance(found, Gained)
    first, *_ = gain_pictures(found, record, names_of(record), style=page())
    assert "Doubted: Quay gained more than the clock." in plain(first.svg)


def test_a_doubted_gain_tells_no_elasticity(bench: Bench) -> None:
    record = bench.bring(pair({"quay": 1.6 * RISE, "mole": 0.5 * RISE, "pier": 0.5 * RISE}))
    (part,) = tuned_parts(bench.wb, ["tuned"])
    found = elasticity_of(bench.wb, record, part)
    assert found.tests == ("mole", "pier")
    assert found.known.value == pytest.approx(0.5, abs=1e-3)


def only_first_run(folder: Folder, setup: str) -> Folder:
    folder.document["runs"] = [
        run for run in folder.runs if run["setup"] != setup or run["label"].endswith(" 1")
    ]
    return folder


def test_one_run_of_each_settles_nothing_and_says_so(bench: Bench) -> None:
    said = bench.said(only_first_run(only_first_run(pair(), "stock"), "tuned"))
    assert plain(said.answer).startswith("Whether tuning Tern's processor buys anything is unsettled: +5.9 %")
    assert all("have one run each" in plain(each) for each in said.tests)
    assert any("watts at the wall of both" in each for each in said.lacking)


def test_watts_that_were_read_on_one_side_alone_tell_nothing(bench: Bench) -> None:
    folder = measured(pair())
    for run in folder.runs:
        if run["setup"] == "stock":
            run.pop("wall_w")
    said = bench.said(folder)
    assert "at the wall" not in plain(said.answer)
    assert "watts at the wall of both" in said.lacking[0]


def test_tests_without_a_run_of_stock_are_unsettled_and_left_out_of_the_average(bench: Bench) -> None:
    folder = pair()
    folder.document["runs"] = [run for run in folder.runs if (run["setup"], run["test"]) != ("stock", "pier")]
    said = bench.said(folder)
    assert "on average of two tests" in plain(said.answer)
    assert "Stock has no run that counts" in plain(said.tests[2])


def test_a_part_that_was_undervolted_may_save_watts(bench: Bench) -> None:
    folder = measured(pair(dict.fromkeys(TESTS, 0.0), clocks=False))
    for run in folder.runs:
        if run["setup"] == "tuned":
            run["wall_w"] -= 60.0
    said = plain(bench.said(folder).answer)
    assert said.startswith("Tuning Tern's processor buys nothing that matters, for 3.1 dB more and with 36 W")
