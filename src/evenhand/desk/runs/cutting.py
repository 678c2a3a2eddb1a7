"""Cut a test, or one run, to a measured window: looked at before, checked, stored with all that follows."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import datetime

from evenhand.desk.logs.measuring_again import measure_run_again, runs_of_test
from evenhand.desk.on_record import RunOnRecord
from evenhand.desk.runs.candidates import OUT, Loader
from evenhand.desk.runs.triaging import triage_study
from evenhand.desk.runs.window_checks import refuse_unfit
from evenhand.desk.study.away import refuse_away
from evenhand.desk.study.shelving import keep
from evenhand.errors import BadRecord, Overtaken
from evenhand.records.runs import Run
from evenhand.records.tests import Measures, Test
from evenhand.records.windows import Window
from evenhand.store import runs as run_store
from evenhand.store import shelves
from evenhand.store.history import Change, change, history_of, latest_change
from evenhand.store.workbench import Workbench

RUNS, TESTS = "runs", "tests"


@dataclass(frozen=True, slots=True, kw_only=True)
class CutAsked:
    """What somebody wants measured: `window` of `run`, by its id, and of `every` run of its test unless not.

    None takes a window away. `seen` is what this rests on, "" for whoever cuts without looking.
    """

    run: str
    window: Window | None
    every: bool = True
    seen: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class CutDone:
    """What was stored: the number of the change, 0 where it stood so before, and how many runs it touches."""

    change: int
    runs: int


def cut_as_asked(wb: Workbench, asked: CutAsked, *, now: datetime) -> CutDone:
    """Cut as a page or a program asks for it. Raises Overtaken where the window was seen otherwise.

    Looking and cutting are one transaction: of two who cut at once, the second learns of the first.
    """
    with wb.writing():
        run = run_store.run(wb, asked.run)
        if asked.seen and asked.seen != sight_of_window(wb, run):
            raise Overtaken(
                "Meanwhile the test or the run was changed",
                where=run.label,
                todo="look at the window that stands now; what you chose is still here",
            )
        if asked.every:
            return cut_test(wb, run.test, asked.window, now=now)
        return cut_run(wb, run.id, asked.window, now=now)


def sight_of_window(wb: Workbench, run: Run) -> str:
    """What a cut of a run or of its test rests on: another word once either was changed."""
    return f"{latest_change(wb, TESTS, run.test)}.{latest_change(wb, RUNS, run.id)}"


def cut_test(wb: Workbench, key: str, window: Window | None, *, now: datetime) -> CutDone:
    """Every run of a test is measured in this window from now on, in each study that has them; None: whole.

    Runs with a window of their own keep that. All of it happens in one transaction. Raises BadRecord where
    the window does not fit a run that counts or waits.
    """
    with wb.writing():
        test = shelves.one(wb, Test, key)
        refuse_scores(test)
        cut = replace(test, window=None if window is None or window.whole else window)
        kept = keep(wb, cut, now=now)
        touched = [each for each in runs_of_test(wb, key) if each.run.window is None]
        if kept.change:
            judge_studies(wb, touched, now=now)
    return CutDone(change=kept.change, runs=len(touched))


def cut_run(wb: Workbench, run_id: str, window: Window | None, *, now: datetime) -> CutDone:
    """One run is measured in a window of its own from now on; None: in that of its test again.

    Raises BadRecord without a reason, or where the window does not fit its log.
    """
    with wb.writing():
        refuse_away(wb, *run_store.studies_of(wb, run_id))
        run = run_store.run(wb, run_id)
        test = shelves.one(wb, Test, run.test)
        refuse_scores(test)
        if window is not None and not window.reason.strip():
            raise BadRecord(
                f"nothing says why {run.label} is cut otherwise than its siblings",
                where="reason",
                todo="write the reason: it stands wherever the finding is shown; or cut all runs of the test",
            )
        return recut(wb, run, test, window, now=now)


def recut(wb: Workbench, run: Run, test: Test, window: Window | None, *, now: datetime) -> CutDone:
    """Stores the window of one run with the numbers and faults that follow from it."""
    if run.window == window:
        return CutDone(change=0, runs=0)
    after = replace(run, window=window)
    run_store.save_run(wb, after, now=now)
    each = next((one for one in runs_of_test(wb, test.key) if one.run.id == run.id), None)
    if each is None:
        raise BadRecord(
            "its log could not be read: there are no frames to cut",
            where=run.label,
            todo="see what is wrong with the log first",
        )
    loader = Loader(wb=wb, sensor_logs={})
    if each.state not in OUT:
        refuse_unfit(test, [each], loader)
    measure_run_again(wb, each, test, loader, now=now)
    judge_studies(wb, [each], now=now)
    return CutDone(change=latest_change(wb, RUNS, run.id), runs=1)


def undo_cut(wb: Workbench, number: int, *, now: datetime) -> CutDone:
    """Puts back the window that one change replaced; both stay in history.

    Raises Overtaken where the test or run was changed since, BadRecord where it was no change of a window.
    """
    with wb.writing():
        found = change(wb, number)
        before = window_before(found)
        if history_of(wb, found.table, found.key)[-1].id != number:
            raise Overtaken(
                "this was changed again since, and undoing would undo that as well",
                where=found.key,
                todo="look at the window that stands now, and cut by hand",
            )
        if found.table == TESTS:
            return cut_test(wb, found.key, before, now=now)
        return cut_run(wb, found.key, before, now=now)


def window_before(found: Change) -> Window | None:
    """The window that a change replaced. Raises BadRecord where it replaced none."""
    if found.table not in (RUNS, TESTS) or found.before is None or not is_cut(found):
        raise BadRecord(
            f"change {found.id} is not one of a measured window", where=found.key, todo="look at the history"
        )
    told = found.before.get("window")
    return None if told is None else Window(**told)


def is_cut(found: Change) -> bool:
    """Whether a change of a test or a run changed its measured window."""
    return found.before is not None and found.before.get("window") != found.after.get("window")


def refuse_scores(test: Test) -> None:
    """Raises BadRecord for a test that leaves no frames behind."""
    if test.measures is Measures.SCORE:
        raise BadRecord(
            "this test leaves a score behind, and no frames that could be cut",
            where=test.name,
            todo="cut a test of frames",
        )


def judge_studies(wb: Workbench, touched: list[RunOnRecord], *, now: datetime) -> None:
    """Holds the runs of every study that has one of these against their siblings again."""
    studies = dict.fromkeys(study for each in touched for study in run_store.studies_of(wb, each.run.id))
    for study in studies:
        triage_study(wb, study, now=now)
