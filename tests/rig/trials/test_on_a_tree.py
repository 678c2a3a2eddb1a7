"""The stops of a trial on a machine whose files change as a kernel's do: heat, watts, sensors gone wrong."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest
from tests.rig.trials.test_running import ASKED, BEGAN
from tests.rig.trials.test_served import token
from tests.rig.trials.tree import C_PER_W, LOAD_W, REST_W, ROOM, TAU_S, Passing, Tree
from tests.web.looking import Served

from evenhand.desk.tuning.heat import heat_logs, heat_now
from evenhand.desk.tuning.noting import tuned_part
from evenhand.records.trials import Outcome
from evenhand.rig import main
from evenhand.rig.asking import Address
from evenhand.rig.spool import Spool
from evenhand.rig.trials import journal, recovery, trying
from evenhand.rig.trials.asked import PASSED, STOPPED, Asked, End, record_of
from evenhand.rig.trials.doing import Signs
from evenhand.rig.trials.journal import journals, read
from evenhand.rig.trials.options import understood
from evenhand.rig.trials.running import Time, Trial
from evenhand.rig.trials.stopping import Stop
from evenhand.rig.trials.wanted import Limit, Wanted
from evenhand.rig.uploading import drain
from evenhand.store import trials as trial_store

__all__ = ["token"]

AT_LAST_C = 68.0
"""After three minutes; it settles at 68.5 °C."""

LONG = replace(ASKED, planned_h=0.05, room_c=ROOM)


class Warming:
    """A load that draws its watts while it runs; `at` may do something to the machine in any second."""

    def __init__(self, tree: Tree, at: Callable[[float], object] | None, watts: float) -> None:
        self.tree, self.at, self.watts, self.over = tree, at, watts, False

    def prepare(self) -> None:
        """Nothing."""

    def begin(self) -> None:
        self.begun, self.tree.watts = self.tree.s, self.watts

    def signs(self) -> Signs:
        if self.at is not None:
            self.at(self.tree.s - self.begun)
            self.tree.write()
        return Signs(rounds=(1, 1))

    def end(self) -> None:
        self.tree.watts, self.over = REST_W, True


def tried(
    tree: Tree, tmp_path: Path, *options: str, at: Callable[[float], object] | None = None,
    limits: Sequence[Limit] = (), asked: Asked = LONG, watts: float = LOAD_W,
) -> End:  # fmt: skip
    """A trial with these options on the command line; how it ended, as its journal has it too."""
    said = understood([*options, "--state", str(tmp_path)])
    machine, wanted = tree.machine(), Wanted(limits=tuple(limits))
    warmth = trying.warmth_of(said, machine)
    watch = trying.watch_of(said, wanted, machine, warmth)
    watch.attended = said.attended
    doing = Warming(tree, at, watts)
    clocks = Time(mono=lambda: tree.s, wall=lambda: BEGAN)
    made = Trial(asked, doing, watch, folder=tmp_path / "trials", stop=Passing(tmp_path, tree), clocks=clocks)
    made.warmth, made.rest_s = warmth, 60 * (said.keep_heat or 0.0)
    end = made.run()
    assert doing.over
    (path,) = journals(tmp_path / "trials")
    assert (read(path).end["outcome"], read(path).end["why"]) == (end.outcome, end.why)
    return end


@pytest.fixture
def tree(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Tree:
    """The machine; its disk takes a beat at once, since seconds pass there as quickly as they can."""
    monkeypatch.setattr(journal.os, "fsync", lambda _: None)
    return Tree(tmp_path / "root")


def test_a_temperature_ends_it_in_the_second_in_which_it_is_reached(tree: Tree, tmp_path: Path) -> None:
    end = tried(tree, tmp_path, "--most", "60")
    assert end.outcome == STOPPED
    assert end.why == "board Package reached 60 °C, and the limit is 60 °C"
    record = record_of(LONG, end)
    assert (record["outcome"], record["hottest_c"]) == ("stopped", 60.0)
    assert record["note"].endswith(end.why)
    assert record["errors"] == 0
    assert tree.heat_c == pytest.approx(60.0, abs=0.8)
    assert record["hours"] == pytest.approx(end.held_s / 3600, abs=1e-6)
    assert 0 < end.held_s < 300


def test_below_it_the_trial_goes_on_to_its_end(tree: Tree, tmp_path: Path) -> None:
    end = tried(tree, tmp_path, "--most", "90")
    assert (end.outcome, end.held_s) == (PASSED, 180.0)
    assert end.hottest_c == AT_LAST_C
    assert end.watts == pytest.approx(LOAD_W, abs=0.5)


@pytest.mark.parametrize(("typed", "noted", "at"), [("70", 55.0, 55), ("55", 70.0, 55), (None, 58.0, 58)])
def test_the_lower_of_what_is_typed_and_the_limit_on_the_workbench_counts(
    tree: Tree, tmp_path: Path, typed: str | None, noted: float, at: int
) -> None:
    options = ["--most", typed] if typed else []
    end = tried(tree, tmp_path, *options, limits=[Limit(quantity="temperature", most=noted)])
    assert (end.outcome, end.hottest_c) == (STOPPED, at)


GONE = {
    "no file": None,
    "empty": " ",
    "no number": "N/A\n",
    "no part is so hot": "1000000\n",
    "loose": "-40000\n",
}


@pytest.mark.parametrize("way", GONE)
def test_a_temperature_that_cannot_be_read_any_more_ends_it_where_nobody_stays(
    tree: Tree, tmp_path: Path, way: str, capsys: pytest.CaptureFixture[str]
) -> None:
    def at(held: float) -> None:
        tree.read = GONE[way] if held >= 40 else ""

    end = tried(tree, tmp_path, "--most", "90", at=at)
    assert end.outcome == STOPPED
    assert end.held_s == pytest.approx(49.0, abs=1.0)
    assert end.why.startswith("no temperature could be read for 10 s, so that the limit guarded nothing")
    assert end.hottest_c is not None
    assert 45 < end.hottest_c < 60, "what it read before"
    nonsense = way in ("no part is so hot", "loose")
    assert ("which no part is" in end.why) is nonsense
    assert ("which no part is" in capsys.readouterr().out) is nonsense


@pytest.mark.parametrize("way", GONE)
def test_where_somebody_stays_it_is_told_and_goes_on(
    tree: Tree, tmp_path: Path, way: str, capsys: pytest.CaptureFixture[str]
) -> None:
    def at(held: float) -> None:
        tree.read = GONE[way] if held >= 40 else ""

    end = tried(tree, tmp_path, "--most", "90", "--attended", at=at)
    assert (end.outcome, end.held_s) == (PASSED, 180.0)
    told = capsys.readouterr().out
    assert told.count("No temperature can be read any more: stay with the machine") == 1
    assert "the limit guards nothing" in told


@pytest.mark.parametrize("text", ["1000000\n", "-40000\n", ""])
def test_nonsense_of_a_moment_is_told_and_neither_ends_it_nor_counts_as_its_heat(
    tree: Tree, tmp_path: Path, text: str, capsys: pytest.CaptureFixture[str]
) -> None:
    def at(held: float) -> None:
        tree.read = text if 50 <= held < 55 else ""

    end = tried(tree, tmp_path, "--most", "90", at=at)
    assert (end.outcome, end.hottest_c) == (PASSED, AT_LAST_C)
    assert ("which no part is" in end.why) is bool(text)
    assert capsys.readouterr().out.count("which no part is") == bool(text)


def test_after_nonsense_the_limit_guards_again(tree: Tree, tmp_path: Path) -> None:
    def at(held: float) -> None:
        tree.read = "1000000\n" if 50 <= held < 55 else ""

    assert "reached 65 °C" in tried(tree, tmp_path, "--most", "65", at=at).why


@pytest.mark.parametrize("text", ["45000\n", "0\n"])
def test_a_sensor_that_stands_still_is_told_and_stands_in_the_record(
    tree: Tree, tmp_path: Path, text: str, capsys: pytest.CaptureFixture[str]
) -> None:
    tree.read = text
    tree.write()
    end = tried(tree, tmp_path, "--most", "90")
    told = capsys.readouterr().out
    assert told.count("as if it were not read: stay with the machine, the limit guards nothing then.") == 1
    assert f"stood at {int(text) // 1000} °C for 120 s" in record_of(LONG, end)["note"]


def test_one_that_stops_moving_midway_is_told_after_ten_minutes(
    tree: Tree, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    def at(held: float) -> None:
        tree.read = "52000\n" if held >= 60 else ""

    end = tried(tree, tmp_path, "--most", "90", at=at, asked=replace(LONG, planned_h=0.2))
    assert "stood at 52 °C for 600 s" in end.why
    assert "stay with the machine" in capsys.readouterr().out


@pytest.mark.parametrize(("options", "noted"), [(["--most-watts", "140"], 200.0), ([], 140.0)])
def test_more_watts_than_are_allowed_end_it_after_a_minute(
    tree: Tree, tmp_path: Path, options: list[str], noted: float
) -> None:
    end = tried(tree, tmp_path, *options, limits=[Limit(quantity="power", most=noted)])
    assert end.outcome == STOPPED
    assert end.why == "it drew 150 W, and more than the limit of 140 W for 60 s"
    assert end.held_s == pytest.approx(60.0, abs=2.0)
    assert record_of(LONG, end)["watts"] == pytest.approx(LOAD_W, abs=0.5)


def test_a_boost_and_a_counter_that_is_set_back_end_nothing(tree: Tree, tmp_path: Path) -> None:
    def at(held: float) -> None:
        tree.watts = 190.0 if held % 90 < 45 else 100.0
        if held == 120.0:
            tree.energy_uj = 7

    assert tried(tree, tmp_path, "--most-watts", "140", at=at).outcome == PASSED


def test_where_no_watts_can_be_read_it_is_said_that_their_limit_guards_nothing(
    tree: Tree, tmp_path: Path
) -> None:
    tree.counter.unlink()
    said = understood(["--most-watts", "140", "--most", "90", "--state", str(tmp_path)])
    watch = trying.watch_of(said, None, tree.machine())
    assert "No watts of this part can be read here: the limit of its power guards nothing." in watch.blind()
    assert not watch.unguarded


def test_the_hottest_of_several_guards_and_a_word_picks_one(tree: Tree, tmp_path: Path) -> None:
    other = tree.file.with_name("temp2_input")
    other.with_name("temp2_label").write_text("Drive\n", encoding="ascii")
    other.write_text("64000\n", encoding="ascii")
    end = tried(tree, tmp_path / "all", "--most", "64")
    assert (end.held_s, end.why) == (0.0, "board Drive reached 64 °C, and the limit is 64 °C")
    assert "Package reached 64 °C" in tried(tree, tmp_path / "one", "--most", "64", "--sensor", "package").why


def test_temperatures_that_are_kept_are_a_log_that_the_desk_fits(
    served: Served, token: str, tree: Tree, tmp_path: Path
) -> None:
    own = replace(
        LONG,
        setup="left-stock",
        clock_mhz=4400.0,
        voltage_mv=1175.0,
        planned_h=0.15,
        settings={},
        began_at=(datetime.now(UTC) - timedelta(hours=1)).isoformat(),
    )

    def at(held: float) -> None:
        tree.read = "1000000\n" if 300 <= held < 303 else ""

    assert tried(tree, tmp_path, "--keep-heat", "4", "--most", "90", at=at, asked=own).outcome == PASSED
    (path,) = journals(tmp_path / "trials")
    spool = Spool(tmp_path / "spool")
    recovery.put_on_its_way(path, spool)
    drain(Address(url=served.url, token=token), spool, lambda _: None, lambda *_: None)
    (kept,) = trial_store.trials_of(served.wb, ["left-stock"])
    assert (kept.outcome, kept.hottest_c, kept.by) == (Outcome.PASSED, 68.0, "left bench")
    assert "read 1000 °C, which no part is" in kept.note
    (log,) = heat_logs(served.wb, "left-stock", "processor")
    now = heat_now(served.wb, tuned_part(served.wb, "left-stock", "processor"), log)
    assert now.trouble is None
    assert now.fit is not None
    assert now.fit.c_per_w.sum() == pytest.approx(C_PER_W, rel=0.02)
    # Whole degrees that scatter by nothing may leave a tiny second stage; the first is the part's.
    assert (now.fit.seconds[0], now.fit.c_per_w[0]) == pytest.approx((TAU_S, C_PER_W), rel=0.05)
    assert now.fell is None
    assert now.rest is not None
    assert not now.rest.differs


def test_the_whole_program_ends_at_the_limit_and_the_workbench_has_it_as_stopped(
    served: Served, token: str, tree: Tree, tmp_path: Path, monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
) -> None:  # fmt: skip
    monkeypatch.setattr(main, "look", tree.machine)
    real = Stop.wait

    def passing(self: Stop, seconds: float) -> None:
        tree.watts = LOAD_W
        tree.pass_s(10.0)
        real(self, seconds)

    monkeypatch.setattr(Stop, "wait", passing)
    asked = ["--setup", "left-stock", "--clock", "4400", "--voltage", "1175", "--hours", "1", "--most", "60"]
    told = ["--load", "integers", "--room", "23.5", "--attended", "--memory-share", "0.001"]
    state = ["--token", token, "--state", str(tmp_path / "state")]
    assert main.main(["try", served.url, *state, *asked, *told]) == 1
    assert "reached 60 °C, and the limit is 60 °C" in capsys.readouterr().out
    (kept,) = trial_store.trials_of(served.wb, ["left-stock"])
    assert (kept.outcome, kept.planned_h) == (Outcome.STOPPED, 1.0)
    assert kept.hottest_c is not None
    assert 60.0 <= kept.hottest_c <= 65.0
    assert kept.hours < 0.01
    assert "and the limit is 60 °C" in kept.note
