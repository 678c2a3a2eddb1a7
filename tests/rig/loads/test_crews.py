"""Workers in processes of their own: what they reckon wrongly, tell or die of ends the trial by its name."""

from __future__ import annotations

import os
import signal
import sys
import time
from dataclasses import replace
from pathlib import Path

import pytest
from validation.flipped_bits import answers_at_stock, caught_by_crew

from evenhand.rig.keeping import read_json, write_json
from evenhand.rig.loads.crew import Crew, cores
from evenhand.rig.loads.known import LOADS, load_named
from evenhand.rig.loads.memory import MIB
from evenhand.rig.loads.worker import Fault
from evenhand.rig.trials import answers as answering
from evenhand.rig.trials.answers import FILE, Answers, NoAnswers, machine_name, worked_out
from evenhand.rig.trials.asked import CRASH, ERROR, WRONG
from evenhand.rig.trials.doing import NotBegun
from evenhand.rig.trials.known_answers import KnownAnswers

posix = pytest.mark.skipif(sys.platform == "win32", reason="kills as POSIX does")
TWO = (cores() * 2)[:2]
INTEGERS = load_named("integers")


@pytest.mark.parametrize("name", list(LOADS))
def test_a_flip_in_any_worker_is_caught_and_named(
    name: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(answering, "cores", lambda: TWO[:1])
    load = load_named(name)
    answers = answers_at_stock(load, tmp_path)
    for worker in range(2):
        fault = Fault(worker=worker, round=1 + worker, stage=load.stages - 1, place=0.4, bit=3)
        signs = caught_by_crew(load, answers, fault, TWO)
        assert signs.ended is not None
        assert signs.ended.outcome == WRONG
        assert signs.ended.why.startswith(f"worker {worker + 1} ")
        assert signs.ended.why.endswith(f"in round {worker + 2}")
        assert signs.errors == 1


def test_a_sound_machine_goes_on(tmp_path: Path) -> None:
    signs = caught_by_crew(INTEGERS, Answers(folder=tmp_path), None, TWO, rounds=2)
    assert signs.ended is None
    assert min(signs.rounds) >= 2
    assert signs.errors == 0


def test_one_core_is_enough(tmp_path: Path) -> None:
    signs = caught_by_crew(INTEGERS, Answers(folder=tmp_path), None, TWO[:1], rounds=1)
    assert len(signs.rounds) == 1
    assert signs.ended is None


@posix
def test_a_worker_stays_on_its_core(tmp_path: Path) -> None:
    doing = crew_of(tmp_path)
    try:
        doing.prepare()
        (worker,) = doing.crew.workers
        if worker.core is not None:
            assert os.sched_getaffinity(worker.process.pid) == {worker.core}
    finally:
        doing.end()


def crew_of(folder: Path, *, fault: Fault | None = None, silent_s: float = 60.0) -> KnownAnswers:
    return KnownAnswers(
        INTEGERS, TWO[:1], size=4 * MIB, answers=Answers(folder=folder), fault=fault, silent_s=silent_s
    )


def until_over(doing: KnownAnswers) -> object:
    until = time.monotonic() + 30
    while doing.signs().ended is None and time.monotonic() < until:
        time.sleep(0.01)
    return doing.signs().ended


@posix
def test_a_worker_that_dies_is_a_crash(tmp_path: Path) -> None:
    doing = crew_of(tmp_path)
    try:
        doing.prepare()
        doing.begin()
        os.kill(doing.crew.workers[0].process.pid, signal.SIGSEGV)
        until_over(doing)
        ended = doing.signs().ended
        assert ended is not None
        assert (ended.outcome, "by signal 11" in ended.why) == (CRASH, True)
    finally:
        doing.end()


@posix
def test_a_worker_that_the_system_ends_while_it_prepares_is_a_crash(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    doing = crew_of(tmp_path)
    started = Crew._started

    def die(self: Crew, number: int, core: int | None) -> object:
        seen = started(self, number, core)
        os.kill(seen.process.pid, signal.SIGKILL)
        return seen

    monkeypatch.setattr(Crew, "_started", die)
    try:
        doing.prepare()
        doing.begin()
        until_over(doing)
        ended = doing.signs().ended
        assert ended is not None
        assert ended.outcome == CRASH
    finally:
        doing.end()


@posix
def test_a_worker_that_stands_still_is_a_crash_from_when_it_was_last_heard(tmp_path: Path) -> None:
    doing = crew_of(tmp_path, silent_s=0.5)
    try:
        doing.prepare()
        os.kill(doing.crew.workers[0].process.pid, signal.SIGSTOP)
        doing.begin()
        until_over(doing)
        signs = doing.signs()
        assert signs.ended is not None
        assert signs.ended.outcome == CRASH
        assert signs.quiet_s >= 0.5
        assert "has told nothing for" in signs.ended.why
    finally:
        os.kill(doing.crew.workers[0].process.pid, signal.SIGCONT)
        doing.end()


def test_what_a_worker_tells_is_an_error(tmp_path: Path) -> None:
    no_bit = Fault(worker=0, round=1, bit=11)  # a byte has none: the worker's own work raises
    doing = crew_of(tmp_path, fault=no_bit)
    try:
        doing.prepare()
        doing.begin()
        until_over(doing)
        ended = doing.signs().ended
        assert ended is not None
        assert ended.outcome == ERROR
        assert "told an error: ValueError" in ended.why
    finally:
        doing.end()


def test_without_numpy_it_is_told_which_loads_need_none(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    (tmp_path / "numpy.py").write_text("raise ImportError('there is no numpy here')")
    monkeypatch.syspath_prepend(tmp_path)
    products = KnownAnswers(load_named("products"), TWO[:1], size=MIB, answers=Answers(folder=tmp_path))
    with pytest.raises(NotBegun) as told:
        products.prepare()
    assert "there is no numpy here" in str(told.value)
    assert "take integers or patterns" in told.value.todo
    assert products.crew.workers[0].process.poll() is not None
    integers = crew_of(tmp_path)
    assert "numpy" not in integers.prepare()
    integers.end()


def test_memory_that_is_not_there_is_no_failure_of_the_part(tmp_path: Path) -> None:
    doing = KnownAnswers(load_named("patterns"), TWO[:1], size=2**60, answers=Answers(folder=tmp_path))
    with pytest.raises(NotBegun, match="cannot be begun"):
        doing.prepare()


def test_answers_at_stock_are_kept_with_all_that_they_hang_on(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(answering, "cores", lambda: TWO[:1])
    load, answers = load_named("transforms"), Answers(folder=tmp_path)
    with pytest.raises(NoAnswers, match="not worked out at stock") as told:
        answers.of(load, {"python": "3", "numpy": "2"})
    assert "try --stock --load transforms" in told.value.todo
    versions, found = worked_out(load, size=MIB)
    answers.keep(load, versions, found)
    kept = read_json(tmp_path / FILE, {})["transforms"]
    assert kept["machine"] == machine_name()
    assert {"python", "numpy", "version", "at"} <= set(kept)
    assert answers.of(load, versions) == found
    with pytest.raises(NoAnswers, match="with another numpy"):
        answers.of(load, {**versions, "numpy": "0.1"})
    with pytest.raises(NoAnswers, match="with another version"):
        answers.of(replace(load, version=99), versions)
    write_json(tmp_path / FILE, {"transforms": {**kept, "machine": "another"}})
    with pytest.raises(NoAnswers, match="with another machine"):
        answers.of(load, versions)


def test_answers_that_differ_at_stock_are_not_kept(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(answering, "cores", lambda: TWO[:1])
    load = load_named("transforms")
    fault = Fault(worker=0, round=load.cases + 1, stage=2, place=0.9, bit=1)
    with pytest.raises(NoAnswers, match="two answers to one case"):
        worked_out(load, size=MIB, fault=fault)


def test_a_machine_that_gives_other_answers_than_everywhere_is_told(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(answering, "cores", lambda: TWO[:1])
    monkeypatch.setattr(answering, "TIMES", 1)
    other = replace(INTEGERS, answers=("0" * 64, *INTEGERS.answers[1:]))
    with pytest.raises(NoAnswers, match="another than everywhere"):
        worked_out(other, size=MIB)
