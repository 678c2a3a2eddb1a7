"""What stands behind one row of a comparison: its runs in order, those left out, and reservations."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from evenhand.desk.comparison.charting import drawable, in_order, over_tests, run_mark
from evenhand.desk.comparison.rehearsed import without_restart
from evenhand.desk.names import names_of
from evenhand.desk.on_record import RunOnRecord, StudyOnRecord
from evenhand.desk.pages.compare_choice import Choice
from evenhand.desk.pages.frame import address
from evenhand.findings.finding import Comparison, Finding
from evenhand.publish.details import metric_label, metric_meaning
from evenhand.publish.direction import isolated
from evenhand.publish.figures.strip_for_pages import every_run_fresh, runs_figure
from evenhand.publish.figures.strip_runs import RunStrip
from evenhand.publish.left_out import why_left_out
from evenhand.publish.names import Names
from evenhand.publish.numbers import capital, counted, level_words, run_words
from evenhand.publish.picture import Picture
from evenhand.publish.reservations import caveats
from evenhand.publish.sentences import finding_sentence
from evenhand.records.estimates import Estimate
from evenhand.records.tests import Test


@dataclass(frozen=True, slots=True, kw_only=True)
class LeftRun:
    """A run that does not count: whose, its number, why, and what was seen in it."""

    setup: str
    slot: int
    label: str
    value: str
    why: str
    evidence: str
    address: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Behind:
    """Everything behind one row."""

    heading: str
    about: str
    sentence: str
    figure: Picture | None
    left: tuple[LeftRun, ...]
    facts: tuple[tuple[str, str], ...]
    reservations: tuple[str, ...]
    runs_address: str


def behind(record: StudyOnRecord, comparison: Comparison, choice: Choice) -> Behind | None:
    """What stands behind the chosen test; None where none is chosen."""
    if not choice.test:
        return None
    test, names = record.tests[choice.test], names_of(record)
    found = next(f for f in comparison.findings if choice.of(f) and f.test == choice.test)
    runs = [each for each in record.runs if each.run.setup in choice.pair and drawable(each, test)]
    return Behind(
        heading=f"{isolated(test.name)}: {counted(len(runs), 'run')} behind one row",
        about=about_runs(runs, test),
        sentence=finding_sentence(found, names, margin=comparison.margin),
        figure=figure_of(record, test, choice, names) if runs else None,
        left=tuple(left_runs(runs, test, record, names)),
        facts=tuple(facts_of(found, test)),
        reservations=caveats([found], names),
        runs_address=f"{address(record.study.key, 'runs')}?test={test.key}",
    )


def about_runs(runs: list[RunOnRecord], test: Test) -> str:
    """What the figure shows, and how its runs share boots."""
    marks = sorted((run_mark(each, test) for each in runs), key=lambda m: (m.order is None, m.order or 0))
    boots = "every run from a fresh boot" if every_run_fresh(marks) else "dotted: another boot"
    if not any(mark.boot for mark in marks):
        boots = "boots not on record"
    elif without := without_restart(runs):
        boots = f"boots as on record{without}"
    shaded = "shaded: 95\u00a0% interval of each average"
    return f"{capital(metric_label(test.metric))} in the order they were made; {shaded}; {boots}."


def rates_now(record: StudyOnRecord, metric: str) -> dict[tuple[str, str], Estimate]:
    """Each setup's own number in each test, of the headline or of another metric."""

    def wanted(test: Test) -> str | None:
        if not metric:
            return test.metric
        return metric if metric in test.also else None

    return record.once(f"rates of {metric}", lambda of: over_tests(of, wanted))


def figure_of(record: StudyOnRecord, test: Test, choice: Choice, names: Names) -> Picture:
    """The runs of both setups in one plot."""
    means = rates_now(record, "")
    marks = tuple(
        run_mark(each, test)
        for setup in choice.pair
        for each in record.cell(test.key, setup)
        if drawable(each, test)
    )
    own = tuple((setup, means[test.key, setup]) for setup in choice.pair if (test.key, setup) in means)
    return runs_figure(RunStrip(test=test.key, runs=in_order(marks, record), means=own), names)


def left_runs(runs: list[RunOnRecord], test: Test, record: StudyOnRecord, names: Names) -> Iterator[LeftRun]:
    """The runs that do not count, with the first thing that was found in each."""
    for each in runs:
        if each.state.counts:
            continue
        decision = each.decision
        evidence = each.faults[0].evidence if each.faults else ""
        yield LeftRun(
            setup=names.setup(each.run.setup),
            slot=names.slot(each.run.setup).number,
            label=each.run.label,
            value=run_words(each.metrics.values[test.metric], ""),
            why=why_left_out(
                each.state,
                decision.reason if decision else None,
                masked=decision is not None and decision.masked,
            ),
            evidence=evidence or (decision.note if decision else ""),
            address=address(record.study.key, "runs", each.run.id),
        )


def facts_of(found: Finding, test: Test) -> Iterator[tuple[str, str]]:
    """How the number was had: what it is, which way is better, of how many runs, by which method."""
    yield capital(metric_label(found.metric)), metric_meaning(found.metric)
    yield "Better", f"{test.direction.value}, so that a ratio above one always speaks for the first"
    if test.version:
        yield "Version", test.version
    if test.scene:
        yield "Scene", test.scene
    runs = (
        "one run of each that counts"
        if found.n_a == found.n_b == 1
        else f"{found.n_a} and {found.n_b} runs that count"
    )
    yield "Interval", f"{level_words(found.level)}, from {runs}"
    yield "Method", found.method
