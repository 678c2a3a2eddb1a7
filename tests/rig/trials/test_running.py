"""A trial ends as what happened says: its time, a limit, a stop, a full disk; each leaves its record."""

from __future__ import annotations

import os
import signal
import sys
import threading
from collections.abc import Callable
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from evenhand.errors import StoreProblem
from evenhand.rig.readings.sensor import Sensor
from evenhand.rig.trials import journal, stopping
from evenhand.rig.trials.asked import CRASH, PASSED, STOPPED, THROTTLED, WRONG, Asked, End, record_of
from evenhand.rig.trials.commands import ByHand, Command
from evenhand.rig.trials.doing import NotBegun, Signs
from evenhand.rig.trials.journal import journals, read
from evenhand.rig.trials.running import Time, Trial
from evenhand.rig.trials.stopping import Stop
from evenhand.rig.trials.watching import Bounds, Watch, meters

BEGAN = datetime(2033, 5, 4, 8, tzinfo=UTC)
ASKED = Asked(
    setup="wren", part="processor", clock_mhz=5200.0, voltage_mv=1250.0, load="integers", planned_h=0.02,
    settings={"load-line": "level 4"}, room_c=22.5, key="k", boot="first", began_at=BEGAN.isoformat(),
)  # fmt: skip
WHOLE_S = 72.0


class Clock:
    """A second passes with every look at the waiting; the wall's clock may jump."""

    def __init__(self) -> None:
        self.s, self.jump = 100.0, timedelta()

    def time(self) -> Time:
        return Time(mono=lambda: self.s, wall=lambda: BEGAN + timedelta(seconds=self.s) + self.jump)


class Steady:
    """A load of two workers that goes on; `at` may change what it shows in any second."""

    def __init__(self, clock: Clock, at: Callable[[float], Signs] | None = None) -> None:
        self.clock, self.at, self.over = clock, at, False

    def prepare(self) -> None:
        """Nothing."""

    def begin(self) -> None:
        self.begun = self.clock.s

    def signs(self) -> Signs:
        held = self.clock.s - self.begun
        return self.at(held) if self.at else Signs(rounds=(3, 3))

    def end(self) -> None:
        self.over = True


@pytest.fixture
def clock(monkeypatch: pytest.MonkeyPatch) -> Clock:
    found = Clock()

    def wait(self: Stop, seconds: float) -> None:
        found.s += max(seconds, 0.0)

    monkeypatch.setattr(Stop, "wait", wait)
    return found


def sensor(role: str, read: Callable[[], float | None], about: str = "processor") -> Sensor:
    return Sensor(role=role, about=about, source="here", read=read)


def watch(*sensors: Sensor, **bounds: object) -> Watch:
    found = Watch(sensors, Bounds(**bounds), part="processor")  # type: ignore[arg-type]
    found.clock_mhz = ASKED.clock_mhz
    return found


def trial(clock: Clock, tmp_path: Path, **about: object) -> tuple[Trial, Steady]:
    doing = about.pop("doing", None) or Steady(clock)
    seen = about.pop("watch", None) or watch()
    stop = about.pop("stop", None) or Stop(tmp_path)
    made = Trial(
        ASKED, doing, seen, folder=tmp_path / "trials", stop=stop, clocks=clock.time(), **about  # type: ignore[arg-type]
    )  # fmt: skip
    return made, doing  # type: ignore[return-value]


def test_it_passes_when_its_time_is_over(clock: Clock, tmp_path: Path) -> None:
    made, doing = trial(clock, tmp_path)
    end = made.run()
    assert (end.outcome, end.held_s, doing.over) == (PASSED, WHOLE_S, True)
    assert end.why == "6 rounds of 2 workers, every one as it should be"
    (path,) = journals(tmp_path / "trials")
    assert read(path).end["outcome"] == PASSED
    beat = read(path).beat
    assert beat["held_s"] == WHOLE_S - 1
    assert set(beat) == {
        "trial", "boot", "mono", "wall", "held_s", "gap_s", "rounds", "errors", "corrected",
        "hottest_c", "watts",
    }  # fmt: skip


def test_a_worker_without_one_answer_is_no_pass(clock: Clock, tmp_path: Path) -> None:
    late = Steady(clock, lambda held: Signs(rounds=(9, int(held > 100))))
    made, _ = trial(clock, tmp_path, doing=late)
    assert made.run().held_s == 101.0


def test_a_wrong_answer_ends_it_at_once(clock: Clock, tmp_path: Path) -> None:
    wrong = Signs(rounds=(9, 9), errors=1, ended=End(outcome=WRONG, why="worker 2 gave a wrong answer"))
    doing = Steady(clock, lambda held: wrong if held >= 20 else Signs(rounds=(9, 9)))
    made, _ = trial(clock, tmp_path, doing=doing)
    end = made.run()
    assert (end.outcome, end.held_s, end.errors, end.found_s) == (WRONG, 20.0, 1, None)
    record = record_of(ASKED, end)
    assert record["hours"] == round(20 / 3600, 6)
    assert record["found_after_h"] is None


def test_a_worker_that_fell_silent_had_failed_between_then_and_now(clock: Clock, tmp_path: Path) -> None:
    silent = Signs(rounds=(9, 9), ended=End(outcome=CRASH, why="silent"), quiet_s=15.0)
    doing = Steady(clock, lambda held: silent if held >= 40 else Signs(rounds=(9, 9)))
    end = trial(clock, tmp_path, doing=doing)[0].run()
    assert (end.outcome, end.held_s, end.found_s) == (CRASH, 25.0, 40.0)


def test_a_temperature_limit_ends_it(clock: Clock, tmp_path: Path) -> None:
    heat = sensor("temperature", lambda: 60.0 + (clock.s - 100.0))
    end = trial(clock, tmp_path, watch=watch(heat, most_c=85.0))[0].run()
    assert (end.outcome, end.held_s, end.hottest_c) == (STOPPED, 25.0, 85.0)
    assert end.why == "processor reached 85 °C, and the limit is 85 °C"


def test_a_sensor_that_is_gone_midway_ends_it_where_nobody_stays(clock: Clock, tmp_path: Path) -> None:
    heat = sensor("temperature", lambda: 60.0 if clock.s < 120 else None)
    end = trial(clock, tmp_path, watch=watch(heat, most_c=85.0))[0].run()
    assert end.outcome == STOPPED
    assert 28.0 <= end.held_s <= 30.0
    assert "no temperature could be read" in end.why
    assert end.hottest_c == 60.0


def test_a_sensor_that_is_gone_is_told_once_where_somebody_stays(
    clock: Clock, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    def read() -> float:
        if clock.s >= 120:
            raise OSError("the driver is gone")
        return 60.0

    seen = watch(sensor("temperature", read), most_c=85.0, attended=True)
    assert trial(clock, tmp_path, watch=seen)[0].run().outcome == PASSED
    assert capsys.readouterr().out.count("stay with the machine") == 1


def test_a_clock_that_fell_is_throttled_from_when_it_fell(clock: Clock, tmp_path: Path) -> None:
    slow = sensor("clock", lambda: 5190.0 if clock.s < 130 else 4700.0)
    end = trial(clock, tmp_path, watch=watch(slow))[0].run()
    assert (end.outcome, end.held_s) == (THROTTLED, 30.0)
    never = sensor("clock", lambda: 4000.0)
    assert trial(clock, tmp_path, watch=watch(never))[0].run().held_s == 0.0


def test_a_dip_of_a_moment_and_what_is_not_judged_are_no_throttling(clock: Clock, tmp_path: Path) -> None:
    dip = sensor("clock", lambda: 4000.0 if clock.s % 9 < 3 else 5200.0)
    assert trial(clock, tmp_path, watch=watch(dip))[0].run().outcome == PASSED
    low = sensor("clock", lambda: 4000.0)
    assert trial(clock, tmp_path, watch=watch(low, low_pct=0.0))[0].run().outcome == PASSED


def test_what_cannot_be_watched_is_said() -> None:
    heat = sensor("temperature", lambda: None)
    assert "No temperature ends this trial" in watch().blind()
    assert "the limit guards nothing, you do" in watch(heat, most_c=90.0).blind()
    assert "No clock of this part can be read" in watch().blind()
    good = watch(sensor("temperature", lambda: 40.0), sensor("clock", lambda: 5200.0), most_c=90.0)
    assert (good.blind(), good.unguarded) == ("", False)
    assert watch(heat, most_c=90.0).unguarded


def test_a_heat_that_no_part_has_is_no_reading(clock: Clock, tmp_path: Path) -> None:
    loose, good = sensor("temperature", lambda: 255.0), sensor("temperature", lambda: 70.0)
    assert watch(loose, most_c=90.0).unguarded
    end = trial(clock, tmp_path, watch=watch(loose, good, most_c=90.0))[0].run()
    assert (end.outcome, end.hottest_c) == (PASSED, 70.0)


def test_a_word_picks_the_temperatures_that_are_watched(clock: Clock) -> None:
    hot = sensor("temperature", lambda: 99.0, "drive")
    cool = sensor("temperature", lambda: 60.0, "package")
    seen = Watch([hot, cool], Bounds(most_c=90.0), part="processor", word="package")
    assert seen.look(1.0) is None
    assert seen.hottest_c == 60.0


def test_a_file_stops_it(clock: Clock, tmp_path: Path) -> None:
    def at(held: float) -> Signs:
        if held == 7.0:
            (tmp_path / stopping.FILE).touch()
        return Signs(rounds=(1, 1))

    end = trial(clock, tmp_path, doing=Steady(clock, at))[0].run()
    assert (end.outcome, end.held_s) == (STOPPED, 7.0)
    assert "the file stop" in end.why
    Stop(tmp_path).forget()
    assert not Stop(tmp_path).asked()


@pytest.mark.skipif(sys.platform == "win32", reason="signals as POSIX has them")
@pytest.mark.parametrize(("name", "words"), [("SIGTERM", "asked this program to end"), ("SIGINT", "Ctrl+C")])
def test_who_ends_the_program_stops_the_trial(clock: Clock, tmp_path: Path, name: str, words: str) -> None:
    assert threading.current_thread() is threading.main_thread()
    before = signal.getsignal(signal.SIGTERM)

    def at(held: float) -> Signs:
        if held == 5.0:
            os.kill(os.getpid(), getattr(signal, name))
        return Signs(rounds=(1, 1))

    end = trial(clock, tmp_path, doing=Steady(clock, at))[0].run()
    assert end.outcome == STOPPED
    assert words in end.why
    assert end.held_s in (5.0, 6.0)
    assert signal.getsignal(signal.SIGTERM) == before


def test_a_clock_on_the_wall_that_jumps_changes_no_time(clock: Clock, tmp_path: Path) -> None:
    def at(held: float) -> Signs:
        clock.jump = timedelta(hours=-3) if held > 20 else timedelta(days=2) if held > 10 else timedelta()
        return Signs(rounds=(1, 1))

    assert trial(clock, tmp_path, doing=Steady(clock, at))[0].run().held_s == WHOLE_S


def full_after(beats: int, monkeypatch: pytest.MonkeyPatch, *, for_good: bool) -> None:
    """The disk takes so many lines; then no more, or only what was kept free for the last."""
    real, lines = os.write, [0]

    def write(handle: int, data: bytes) -> int:
        if data.startswith(b"\n"):
            lines[0] += 1
            last = b'"end"' in data
            if lines[0] > beats and (for_good or not last):
                raise OSError(28, "No space left on device")
        return real(handle, data)

    monkeypatch.setattr(journal.os, "write", write)


def test_a_full_disk_ends_it_and_that_is_kept(
    clock: Clock, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    full_after(11, monkeypatch, for_good=False)
    made, doing = trial(clock, tmp_path)
    end = made.run()
    assert (end.outcome, end.held_s, doing.over) == (STOPPED, 10.0, True)
    assert "a beat could not be kept (No space left on device)" in end.why
    (path,) = journals(tmp_path / "trials")
    assert read(path).end["outcome"] == STOPPED


def test_a_disk_that_takes_nothing_more_is_told_with_what_to_write_down(
    clock: Clock, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    full_after(11, monkeypatch, for_good=True)
    made, doing = trial(clock, tmp_path)
    with pytest.raises(StoreProblem) as told:
        made.run()
    assert doing.over
    assert "processor of wren at 5200 MHz and 1250 mV, integers for 0.02 h, held 9 s" in told.value.found
    assert "write this trial down by hand" in told.value.todo


def test_a_load_that_cannot_begin_leaves_no_record(clock: Clock, tmp_path: Path) -> None:
    class Unable(Steady):
        def prepare(self) -> None:
            raise NotBegun("no")

    made, _ = trial(clock, tmp_path, doing=Unable(clock))
    with pytest.raises(NotBegun):
        made.run()
    assert not list(journals(tmp_path / "trials"))


def test_what_a_person_says_of_a_load_by_hand_stands_last(clock: Clock, tmp_path: Path) -> None:
    made, _ = trial(
        clock, tmp_path, doing=ByHand(), after=lambda end: replace(end, outcome=WRONG, why="as said")
    )
    assert made.run().outcome == WRONG
    (path,) = journals(tmp_path / "trials")
    assert read(path).end["why"] == "as said"


def test_a_load_by_hand_has_not_passed_before_somebody_says_so(clock: Clock, tmp_path: Path) -> None:
    def ended(_: End) -> End:
        raise KeyboardInterrupt  # the program is killed while it asks

    made, _ = trial(clock, tmp_path, doing=ByHand(), after=ended)
    with pytest.raises(KeyboardInterrupt):
        made.run()
    (path,) = journals(tmp_path / "trials")
    assert read(path).end["outcome"] == STOPPED
    assert "nobody said how it went" in read(path).end["why"]


def command(words: str, tmp_path: Path, hours: float) -> End:
    asked = replace(ASKED, planned_h=hours)
    doing = Command(f'"{sys.executable}" -S -E -c "{words}"')
    return Trial(asked, doing, watch(), folder=tmp_path, stop=Stop(tmp_path), every_s=0.05).run()


def test_a_command_goes_on_until_its_time_is_over(tmp_path: Path) -> None:
    end = command("pass", tmp_path, 1.0 / 3600)
    assert end.outcome == PASSED
    assert "rounds of 1 workers" in end.why


def test_a_command_that_ends_otherwise_is_an_error_with_its_last_words(tmp_path: Path) -> None:
    end = command("print('block 7 differs'); raise SystemExit(4)", tmp_path, 1.0)
    assert (end.outcome, end.errors) == ("error", 1)
    assert end.why == "the command ended with exit code 4; the last it printed: block 7 differs"


@pytest.mark.skipif(sys.platform == "win32", reason="kills as POSIX does")
def test_a_command_that_the_system_ends_is_a_crash(tmp_path: Path) -> None:
    assert command("import os; os.kill(os.getpid(), 11)", tmp_path, 1.0).outcome == CRASH


def test_a_command_that_is_not_there_is_no_trial(tmp_path: Path) -> None:
    doing = Command("no-such-command-here")
    with pytest.raises(NotBegun, match="cannot be started"):
        Trial(ASKED, doing, watch(), folder=tmp_path, stop=Stop(tmp_path), every_s=0.05).run()
    assert not list(journals(tmp_path))


def test_watts_are_the_mean_of_every_second_but_the_first_which_tells_of_before(
    clock: Clock, tmp_path: Path
) -> None:
    told = iter([12.0, *(100.0 + n for n in range(200))])
    seen = watch(sensor("power", lambda: next(told), "package-0"))
    made, _ = trial(clock, tmp_path, watch=seen)
    end = made.run()
    looks = int(WHOLE_S)  # one a second, the first left out
    assert end.watts == pytest.approx(100.0 + (looks - 1) / 2)
    assert record_of(ASKED, end)["watts_at"] == "part"


@pytest.mark.parametrize(
    ("part", "word", "read"),
    [
        ("processor", "", ["package-0", "package-1"]),
        ("graphics", "", ["graphics"]),
        ("memory", "", []),
        ("memory", "slots", ["board slots"]),
    ],
)
def test_watts_are_read_where_it_is_known_whose_they_are(part: str, word: str, read: list[str]) -> None:
    there = [
        sensor(role, lambda: 50.0, about)
        for role, about in (
            ("power", "package-0"), ("power", "package-1"), ("power", "graphics"), ("power", "board slots"),
            ("load", "graphics"),
        )
    ]  # fmt: skip
    assert [each.about for each in meters(there, part, word)] == read


def test_a_second_in_which_one_package_tells_nothing_is_left_out(clock: Clock, tmp_path: Path) -> None:
    other = iter([None, 40.0, None, 60.0] + [None] * 200)
    sensors = (sensor("power", lambda: 100.0, "package-0"), sensor("power", lambda: next(other), "package-1"))
    end = trial(clock, tmp_path, watch=watch(*sensors))[0].run()
    assert end.watts == 160.0, "of two seconds in which both spoke, the first tells of before"


@pytest.mark.parametrize("told", [None, 0.0, -3.0, 1e7, float("nan")])
def test_watts_that_no_part_draws_are_none(clock: Clock, tmp_path: Path, told: float | None) -> None:
    end = trial(clock, tmp_path, watch=watch(sensor("power", lambda: told, "package-0")))[0].run()
    assert end.watts is None
    assert record_of(ASKED, end)["watts_at"] is None
