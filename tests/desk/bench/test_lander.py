"""Files landed in a further process: the same runs and verdicts, each once, whatever becomes of it."""

from __future__ import annotations

import os
import sys
import time
from collections.abc import Iterator
from threading import Thread

import pytest
from tests.desk.landing_cases import STUDY, log
from tests.desk.small_folder import LATER

from evenhand.desk.bench import lander as lander_module
from evenhand.desk.bench.lander import CORES, TRIES, Lander, lander_of, landing_aside
from evenhand.desk.bench.uploading import Came, take_in
from evenhand.desk.child import Child
from evenhand.desk.on_record import NOT_JUDGED, RunOnRecord, load_study
from evenhand.desk.runs.triaging import around_study, digest_of, triage_study
from evenhand.store.judged import judged_on
from evenhand.store.upkeep import check
from evenhand.store.workbench import Workbench

LONGEST_S = 60.0


@pytest.fixture(autouse=True)
def cores_to_spare(monkeypatch: pytest.MonkeyPatch) -> None:
    """Whatever this machine has."""
    monkeypatch.setattr(os, "sched_getaffinity", lambda _: range(CORES), raising=False)


@pytest.fixture
def lander(stocked: Workbench) -> Iterator[Lander]:
    """The further process of the workbench, ready."""
    with landing_aside(stocked.path):
        lander = lander_of(stocked.path)
        started(lander)
        yield lander
    assert lander._child is None


def started(lander: Lander) -> None:
    lander.begin()
    until = time.monotonic() + LONGEST_S
    while not lander._ready:
        assert time.monotonic() < until, "the further process did not get ready"
        time.sleep(0.02)


def sent(wb: Workbench, seed: int, *, fps: float = 100.0, **more: object) -> Came:
    facts = {"study": STUDY, "test": "causeway", "setup": "wren", "boot": f"b{seed}", **more}
    return take_in(wb, log(seed, fps=fps), name=f"{seed}.csv", facts=facts, by="rig one", now=LATER)


def cell(wb: Workbench) -> tuple[RunOnRecord, ...]:
    return load_study(wb, STUDY).cell("causeway", "wren")


def anew(wb: Workbench) -> tuple[RunOnRecord, ...]:
    """The same runs, judged again where nothing is held and nothing was judged before."""
    with wb.writing() as conn:
        conn.execute("DELETE FROM judged")
    triage_study(wb, STUDY, now=LATER)
    return cell(wb)


def test_what_lands_aside_is_what_lands_here(stocked: Workbench, lander: Lander) -> None:
    came = [sent(stocked, seed, fps=fps) for seed, fps in enumerate((100.0, 60.0, 101.0))]
    assert all(each.landed is not None and not each.landed.again for each in came)
    around = around_study(stocked, STUDY)
    assert judged_on(stocked, STUDY)["causeway"] == digest_of(around, around.record.tests["causeway"])
    found = cell(stocked)
    assert came[-1].landed is not None
    assert came[-1].landed.run.faults == found[-1].faults
    assert [each.faults for each in anew(stocked)] == [each.faults for each in found]
    assert lander._ready


def test_the_same_file_again_is_the_same_run(stocked: Workbench, lander: Lander) -> None:
    first, again = sent(stocked, 1), sent(stocked, 1)
    assert first.landed is not None
    assert again.landed is not None
    assert again.landed.again
    assert again.landed.run.run.id == first.landed.run.run.id


def test_what_cannot_land_waits_with_the_reason(stocked: Workbench, lander: Lander) -> None:
    came = take_in(stocked, b"no log", name="a.csv", facts={"study": STUDY}, by="rig one", now=LATER)
    assert came.landed is None
    assert "cannot be read as a log" in came.waits
    assert lander._ready


def test_a_file_lands_here_once_the_process_was_killed(stocked: Workbench, lander: Lander) -> None:
    before = len(cell(stocked))
    assert lander._child is not None
    lander._child.kill()
    assert sent(stocked, 1).landed is not None
    assert lander._child is None
    started(lander)
    assert sent(stocked, 2).landed is not None
    assert lander._ready
    assert len(cell(stocked)) == before + 2


@pytest.mark.parametrize("after_s", [0.0, 0.01, 0.03, 0.06])
def test_killed_at_any_moment_it_loses_no_file_and_lands_none_twice(
    stocked: Workbench, lander: Lander, after_s: float
) -> None:
    before = len(cell(stocked))
    came: list[Came] = []
    senders = [Thread(target=lambda seed=seed: came.append(sent(stocked, seed))) for seed in range(4)]
    child = lander._child
    assert child is not None
    for sender in senders:
        sender.start()
    time.sleep(after_s)
    child.kill()
    for sender in senders:
        sender.join(LONGEST_S)
    runs = [each.landed.run.run.id for each in came if each.landed is not None]
    on_record = [each.run.id for each in cell(stocked)]
    assert len(set(runs)) == 4
    assert len(on_record) == len(set(on_record)) == before + 4
    assert set(runs) <= set(on_record)
    assert not any(NOT_JUDGED in each.faults for each in cell(stocked))
    assert check(stocked.path).sound


def test_where_none_can_be_started_all_lands_here(
    stocked: Workbench, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(sys, "executable", "/nowhere/python")
    with landing_aside(stocked.path):
        lander_of(stocked.path).begin()
        assert sent(stocked, 1).landed is not None
        assert lander_of(stocked.path)._child is None


def test_one_that_ends_again_and_again_is_not_started_for_ever(
    stocked: Workbench, monkeypatch: pytest.MonkeyPatch
) -> None:
    begun: list[str] = []

    def broken(module: str, path: str) -> Child:
        begun.append(module)
        return Child("evenhand.no_such_module", path)

    monkeypatch.setattr(lander_module, "Child", broken)
    with landing_aside(stocked.path):
        lander = lander_of(stocked.path)
        until = time.monotonic() + LONGEST_S
        while lander._failed < TRIES and time.monotonic() < until:
            lander.begin()
            time.sleep(0.02)
        lander.begin()
        assert len(begun) == TRIES
        assert sent(stocked, 1).landed is not None


def test_nobody_who_serves_no_pages_starts_one(stocked: Workbench) -> None:
    lander_of(stocked.path).begin()
    assert lander_of(stocked.path)._child is None
    assert sent(stocked, 1).landed is not None


def test_it_is_begun_with_the_first_file(stocked: Workbench) -> None:
    with landing_aside(stocked.path):
        assert sent(stocked, 1).landed is not None
        started(lander_of(stocked.path))


def test_a_machine_of_few_cores_lands_all_here(stocked: Workbench, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(os, "sched_getaffinity", lambda _: range(CORES - 1), raising=False)
    with landing_aside(stocked.path):
        assert sent(stocked, 1).landed is not None
        assert lander_of(stocked.path)._child is None
