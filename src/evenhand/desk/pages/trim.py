"""Trimming on a run's page: what is measured now, what a window would change, and what was cut just now."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field, replace

from evenhand.desk.logs.measuring import window_of
from evenhand.desk.names import names_of
from evenhand.desk.on_record import RunOnRecord, StudyOnRecord
from evenhand.desk.pages.frame import address
from evenhand.desk.runs.cut_preview import CutPreview, preview_cut
from evenhand.desk.runs.cutting import RUNS, TESTS, CutAsked, is_cut, sight_of_window
from evenhand.desk.runs.measured_part import measured_part
from evenhand.desk.study.used_by import users_of
from evenhand.errors import NotFound
from evenhand.findings.finding import Finding
from evenhand.metrics.definitions import definition
from evenhand.publish.direction import isolated
from evenhand.publish.numbers import capital, counted, listed, run_words
from evenhand.publish.sentences import finding_sentence
from evenhand.publish.window_words import window_words
from evenhand.records.tests import Test
from evenhand.records.windows import Window
from evenhand.store.history import change, latest_change
from evenhand.store.traces import packed_trace
from evenhand.store.workbench import Workbench
from evenhand.traces.codec import unpack
from evenhand.traces.cutting import length_s

NUMBERS = ("average_fps", "low_1pct")  # told of every test of frames, after what it compares
MOST_NUMBERS = 3
MOST_FINDINGS = 6
MOST_RUNS = 12


@dataclass(frozen=True, slots=True, kw_only=True)
class Moved:
    """Something before and after; `alike` where it is told in the same words."""

    before: str
    after: str

    @property
    def alike(self) -> bool:
        """Whether nothing of it would change."""
        return self.before == self.after


@dataclass(frozen=True, slots=True, kw_only=True)
class RunMoved:
    """One run and its numbers before and after, in the order of the table's heads."""

    label: str
    address: str
    here: bool
    numbers: tuple[Moved, ...]
    stands: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Looked:
    """What a window would change. `unfit` are runs that it does not fit: it cannot be stored then."""

    answer: str
    heads: tuple[str, ...]
    runs: tuple[RunMoved, ...]
    more: str
    findings: tuple[Moved, ...]
    still: str
    unfit: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class CutNow:
    """What was cut just now; `undo` is the number of the change, 0 where nothing is left to undo."""

    words: str
    undo: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Trim:
    """The part of a run's page about its window.

    `length_s` is how long the log lasts; `values` and `errors` are of the form's fields, by their names;
    `open` says that somebody is at it.
    """

    answer: str
    action: str
    test: str
    siblings: str
    shared: str
    length_s: float
    own: bool
    cut: bool
    seen: str
    values: Mapping[str, str]
    errors: Mapping[str, str] = field(default_factory=dict)
    told: str = ""
    open: bool = False
    looked: Looked | None = None
    done: CutNow | None = None


def trim_of(wb: Workbench, record: StudyOnRecord, each: RunOnRecord) -> Trim:
    """What is measured of a run with frames, and the form as it stands before anybody types."""
    test, run = record.tests[each.run.test], each.run
    window = window_of(test, run)
    others = [s.title for s in users_of(wb, test) if s.key != record.study.key]
    return Trim(
        answer=measured_part(test, each)
        or f"All of the log is measured, as of every run of {isolated(test.name)}.",
        action=address(record.study.key, "runs", run.id) + "/window",
        test=test.name,
        siblings=siblings_words(record, each),
        shared=f"{isolated(test.name)} is shared: the cut also touches {listed(tuple(others))}."
        if others
        else "",
        length_s=length_s(unpack(packed_trace(wb, each.run.id))),
        own=run.window is not None,
        cut=not window.whole,
        seen=sight_of_window(wb, run),
        values={
            "start_s": f"{window.start_s:g}",
            "end_s": "" if window.end_s is None else f"{window.end_s:g}",
            "scope": "one" if run.window is not None else "every",
            "reason": window.reason,
        },
    )


def siblings_words(record: StudyOnRecord, each: RunOnRecord) -> str:
    """How many runs a cut of the test touches, and those that keep a window of their own."""
    runs = [one for one in record.runs if one.run.test == each.run.test]
    own = sum(one.run.window is not None for one in runs)
    setups = len({one.run.setup for one in runs})
    kept = f"; {counted(own, 'keeps a window of its own', 'keep windows of their own')}" if own else ""
    return f"{counted(len(runs), 'run')} on {counted(setups, 'setup')}{kept}"


def looked_at(wb: Workbench, record: StudyOnRecord, asked: CutAsked) -> Looked:
    """What a window would change, in words."""
    seen = preview_cut(wb, record, asked)
    keys = numbers_of(seen.test)
    rows = list(runs_moved(seen, asked.run, keys))
    findings = [moved_finding(seen, *both) for both in seen.findings() if both[0].headline]
    changed = [one for one in findings if not one.alike]
    return Looked(
        answer=looked_answer(seen, asked),
        heads=tuple(capital(definition(key).label) for key in keys),
        runs=tuple(rows[:MOST_RUNS]),
        more=more_words(len(seen.touched) - len(rows[:MOST_RUNS])),
        findings=() if seen.unfit else tuple(changed[:MOST_FINDINGS]),
        still="" if seen.unfit else still_words(len(findings), len(changed)),
        unfit=tuple(f"{capital(why)}." for why in seen.unfit.values())[:MOST_FINDINGS],
    )


def looked_answer(seen: CutPreview, asked: CutAsked) -> str:
    """What would be measured of which runs, as a sentence."""
    window = asked.window
    if window is None and not asked.every:
        return "This run would be measured as its test says again."
    said = window_words(window or Window())
    of = f"every run of {isolated(seen.test.name)}" if asked.every else "this run alone"
    return f"Of {of} {said} would be measured: {counted(len(seen.touched), 'run')}."


def more_words(left: int) -> str:
    """What is said of touched runs that the table does not show."""
    return f"And {counted(left, 'further run')} of other setups." if left > 0 else ""


def still_words(findings: int, changed: int) -> str:
    """What is said of the findings that stay in the same words."""
    if not findings:
        return "There is no finding of this test yet."
    if not changed:
        return "No finding of this test would change in a word."
    left = findings - min(changed, MOST_FINDINGS)
    return f"{capital(counted(left, 'further finding'))} of this test: see the comparison." if left else ""


def numbers_of(test: Test) -> tuple[str, ...]:
    """The definitions of the numbers that are told: what is compared first."""
    return tuple(dict.fromkeys((test.metric, *test.also, *NUMBERS)))[:MOST_NUMBERS]


def runs_moved(seen: CutPreview, run: str, keys: tuple[str, ...]) -> Iterator[RunMoved]:
    """The run itself and then its siblings, each with its numbers before and after."""
    here = seen.before.run(run)
    cell = seen.before.cell(here.run.test, here.run.setup)
    for each in (here, *(one for one in cell if one.run.id != run)):
        if each.run.id in seen.touched:
            after = seen.after.run(each.run.id)
            numbers = tuple(moved_number(seen.test, key, each, after) for key in keys)
            stands = "" if after.state is each.state else f"{each.state.value} → {after.state.value}"
            place = address(each.run.study, "runs", each.run.id)
            here_too = each.run.id == run
            yield RunMoved(label=each.run.label, address=place, here=here_too, numbers=numbers, stands=stands)


def moved_number(test: Test, key: str, before: RunOnRecord, after: RunOnRecord) -> Moved:
    """One number of a run before and after; a dash where the run carries none."""
    unit = test.unit if key == test.metric else definition(key).unit
    told = (
        "–" if key not in each.metrics.values else run_words(each.metrics.values[key], unit)
        for each in (before, after)
    )
    return Moved(before=next(told), after=next(told))


def moved_finding(seen: CutPreview, before: Finding, after: Finding) -> Moved:
    """One finding as a sentence, before and after."""
    names, margin = names_of(seen.before), seen.before.study.margin
    return Moved(
        before=finding_sentence(before, names, margin=margin),
        after=finding_sentence(after, names, margin=margin),
    )


def cut_now(wb: Workbench, record: StudyOnRecord, each: RunOnRecord, number: int) -> CutNow | None:
    """What the change with this number cut, where it was of this run or its test; None for any other."""
    try:
        found = change(wb, number)
    except NotFound:
        return None
    if (found.table, found.key) not in ((TESTS, each.run.test), (RUNS, each.run.id)) or not is_cut(found):
        return None
    told, test = found.after.get("window"), record.tests[each.run.test]
    of_test = (found.table == RUNS and test.window) or Window()
    said = window_words(of_test if told is None else Window(**told))
    of = f"every run of {test.name}" if found.table == TESTS else each.run.label
    latest = latest_change(wb, found.table, found.key) == number
    again = " as of its test" if told is None and found.table == RUNS else ""
    words = f"Of {of} {said} is measured now{again}. Numbers and findings follow it."
    return CutNow(words=words, undo=number if latest else 0)


def typed_again(trim: Trim, values: Mapping[str, str], *, errors: Mapping[str, str], told: str = "") -> Trim:
    """The form with what was typed into it, and what is wrong with that."""
    return replace(trim, values={**trim.values, **values}, errors=errors, told=told, open=True)
