"""Draw a study or a run, and put the pictures into a folder as SVG and PNG."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import datetime
from itertools import combinations
from pathlib import Path
from typing import NamedTuple

from evenhand.desk.bench.masked_pictures import masked_names, masked_scene
from evenhand.desk.bench.masking import Mask, masked_id
from evenhand.desk.comparison.cells import cell
from evenhand.desk.comparison.comparing import compare
from evenhand.desk.comparison.pair_names import PairKeys, pair_word
from evenhand.desk.logs.measuring import window_of
from evenhand.desk.logs.writing_out import unwritable, write_whole
from evenhand.desk.names import measured_in_part, names_of
from evenhand.desk.on_record import RunOnRecord, StudyOnRecord
from evenhand.desk.painters import painted_in_order, painter_for
from evenhand.desk.runs.deciding import find_run
from evenhand.desk.runs.run_trace import in_the_log
from evenhand.desk.study.terms import ChangedTerm, changed_terms
from evenhand.desk.study.terms_drawn import on_pictures
from evenhand.errors import NotFound
from evenhand.findings.finding import Cell, Comparison
from evenhand.findings.rates import rate_estimates
from evenhand.publish.figures.intervals import interval_plot
from evenhand.publish.figures.rate_columns import Rate
from evenhand.publish.figures.rates import rate_bars
from evenhand.publish.figures.strip_runs import RunMark, RunStrip
from evenhand.publish.figures.strips import run_strip
from evenhand.publish.figures.traces import TraceScene, frame_time_trace
from evenhand.publish.names import Names
from evenhand.publish.palette import Theme
from evenhand.publish.picture import Picture, standalone, to_be_painted
from evenhand.publish.style import Style, card
from evenhand.records.estimates import Estimate
from evenhand.records.faults import Place
from evenhand.records.tests import Direction, Measures, Test
from evenhand.records.windows import Window
from evenhand.store import traces as trace_store
from evenhand.store.workbench import Workbench
from evenhand.traces.codec import unpack
from evenhand.traces.cutting import begins_s, length_s

Watch = Callable[[int, int, str], None]

AVERAGE, LOW = "average_fps", "low_1pct"


@dataclass(frozen=True, slots=True, kw_only=True)
class Drawn:
    """A picture and the file name it goes by, without ending; `pair` are the two that it is of, if it is."""

    name: str
    picture: Picture
    theme: Theme
    pair: PairKeys | None = None


def draw_study(wb: Workbench, study: str, *, now: datetime, dark: bool = False) -> tuple[Drawn, ...]:
    """Every picture of a study: intervals for each pair, rates, and the run-by-run strips."""
    found = compare(wb, study, now=now)
    style, changed = card(Theme.DARK if dark else Theme.LIGHT), found.changed_terms
    names = drawn_names(found.record, changed)
    sets = (
        *interval_sets(found.comparison, found.record, names, style),
        *rate_sets(found.comparison, found.record, names, style),
        *strip_sets(found.record, changed, style),
    )
    return tuple(numbered(sets, style))


class Set(NamedTuple):
    """Pictures under one name: several where one has no room for all; of a pair, or of the whole study."""

    name: str
    pictures: tuple[Picture, ...]
    pair: PairKeys | None = None


def drawn_names(record: StudyOnRecord, changed: Sequence[ChangedTerm], *, test: str | None = None) -> Names:
    """What pictures call things and say of terms changed since; with `test` for pictures of it alone."""
    names = names_of(record)
    measured = names.measured if test is None else measured_in_part([record.tests[test]])
    return replace(names, changed=on_pictures(changed, test=test), measured=measured)


def interval_sets(comparison: Comparison, record: StudyOnRecord, names: Names, style: Style) -> Iterator[Set]:
    """One interval plot for each pair that has findings."""
    for pair in combinations(record.study.setups, 2):
        if any((f.a, f.b) == pair for f in comparison.findings):
            name = f"intervals-{pair_word(pair, record.study.setups)}"
            yield Set(name, interval_plot(comparison, names, style=style, pair=pair), pair)


def rate_sets(comparison: Comparison, record: StudyOnRecord, names: Names, style: Style) -> Iterator[Set]:
    """Rates with their intervals, one set for each unit."""
    rates = list(rates_of(record))
    for unit in dict.fromkeys(rate.average.unit for rate in rates):
        own = [rate for rate in rates if rate.average.unit == unit]
        bars = rate_bars(own, names, style=style, findings=comparison.findings)
        yield Set(f"rates-{file_word(unit)}", bars)


def file_word(unit: str) -> str:
    """A unit as part of a file name that every system takes.

    >>> file_word("jobs/h"), file_word("°C · s"), file_word("..")
    ('jobs-per-h', 'C-s', 'number')
    """
    plain = re.sub(r"[^A-Za-z0-9]+", "-", unit.replace("/", "-per-")).strip("-")
    return plain or "number"


def rates_of(record: StudyOnRecord) -> Iterator[Rate]:
    """Each setup's average in each test, and its 1% low where the test leaves frames behind.

    Which of the two is the test's headline number, and which stands beside it, changes nothing here.
    """
    averages = over_tests(record, average_of)
    frames = {test.key for test in record.compared_tests if test.measures is Measures.FRAMES}
    lows = over_tests(record, lambda test: LOW if test.key in frames else None)
    for (test, setup), average in averages.items():
        low = lows.get((test, setup))
        own = record.tests[test]
        yield Rate(
            test=test, setup=setup, metric=average_of(own), average=average, low=low, better=better_of(own)
        )


def average_of(test: Test) -> str:
    """The definition of what a run of this test averages: its frame rate, or its score."""
    return AVERAGE if test.measures is Measures.FRAMES else test.metric


def better_of(test: Test) -> Direction:
    """Which way that average is better: more frames a second are, whatever the headline number is."""
    return Direction.HIGHER if test.measures is Measures.FRAMES else test.direction


def over_tests(
    record: StudyOnRecord, metric_of: Callable[[Test], str | None]
) -> dict[tuple[str, str], Estimate]:
    """The estimate of a metric of each test, by test and setup; tests and setups without one are left out."""
    found: dict[tuple[str, str], Estimate | None] = {}
    kinds = [(metric_of(test), test.unit) for test in record.compared_tests]
    for setup in record.study.setups:
        for metric, unit in dict.fromkeys(kinds):
            own = [t for t, kind in zip(record.compared_tests, kinds, strict=True) if kind == (metric, unit)]
            if metric is not None:
                found |= estimates([cell(record, test, setup, metric) for test in own], unit)
    return {place: estimate for place, estimate in found.items() if estimate is not None}


def estimates(cells: Sequence[Cell], unit: str) -> dict[tuple[str, str], Estimate | None]:
    """The estimates of one setup's cells by test and setup."""
    return {(c.test, c.setup): e for c, e in zip(cells, rate_estimates(cells, unit=unit), strict=True)}


def strip_sets(record: StudyOnRecord, changed: Sequence[ChangedTerm], style: Style) -> Iterator[Set]:
    """Every run of each test in the order made, one strip a test."""
    means = over_tests(record, lambda test: test.metric)
    for test in record.compared_tests:
        own = (each for each in record.compared_runs if drawable(each, test))
        marks = tuple(run_mark(each, test) for each in own)
        if marks:
            of_test = tuple((s, means[test.key, s]) for s in record.study.setups if (test.key, s) in means)
            runs = in_order(marks, record)
            strip = RunStrip(test=test.key, runs=runs, means=of_test, better=test.direction)
            names = drawn_names(record, changed, test=test.key)
            yield Set(f"runs-{test.key}", run_strip(strip, names, style=style))


def drawable(each: RunOnRecord, test: Test) -> bool:
    """Whether a run is of this test and carries its headline number."""
    return each.run.test == test.key and each.headline(test) is not None


def run_mark(each: RunOnRecord, test: Test) -> RunMark:
    """One run of a strip."""
    return RunMark(
        run=each.run.label,
        setup=each.run.setup,
        value=each.metrics.values[test.metric],
        state=each.state,
        reason=each.decision.reason if each.decision else None,
        boot=each.run.boot,
        order=each.run.order,
    )


def in_order(marks: Sequence[RunMark], record: StudyOnRecord) -> tuple[RunMark, ...]:
    """By setup as the study lists them, then in the order of the bench day."""
    place = {setup: at for at, setup in enumerate(record.study.setups)}
    return tuple(sorted(marks, key=lambda m: (place[m.setup], m.order is None, m.order or 0)))


def own_run(wb: Workbench, record: StudyOnRecord, name: str) -> RunOnRecord:
    """The run of a study under this name. Raises NotFound where it is another study's, or nobody's."""
    found = find_run(wb, name)
    each = next((own for own in record.runs if own.run.id == found.run.id), None)
    if each is None:
        raise NotFound(
            f"run {found.run.id} ({found.run.label}) is not one of study '{record.study.key}'",
            where=str(wb.path),
            todo=f"it belongs to '{found.run.study}'",
        )
    return each


def draw_trace(
    wb: Workbench, record: StudyOnRecord, each: RunOnRecord, style: Style, *, mask: Mask | None = None
) -> tuple[Drawn, ...]:
    """The trace of a run, under masked names where a mask is given. Raises NotFound where it has none."""
    test = record.tests[each.run.test]
    scene, name = trace_scene(wb, record, each, test), each.run.id
    names = drawn_names(record, changed_terms(wb, record), test=test.key)
    if mask is not None:
        scene, name = masked_scene(scene, mask, each.run.id), masked_id(each.run.id)
        names = masked_names(names, mask)
    return tuple(numbered([Set(f"trace-{name}", frame_time_trace(scene, names, style=style))], style))


def trace_scene(wb: Workbench, record: StudyOnRecord, each: RunOnRecord, test: Test) -> TraceScene:
    """A run's frames, those of its siblings that count, and its faults. Raises NotFound for a score run."""
    if test.measures is not Measures.FRAMES:
        raise NotFound(
            "a score run has no trace to draw", where=each.run.label, todo="name a run with frames"
        )
    trace, measured = unpack(trace_store.packed_trace(wb, each.run.id)), window_of(test, each.run)
    siblings = [
        r for r in record.cell(test.key, each.run.setup) if r.state.counts and r.run.id != each.run.id
    ]
    return TraceScene(
        test=test.key,
        setup=each.run.setup,
        run=each.run.label,
        frame_times_ms=trace.frame_times_ms,
        siblings=tuple(unpack(trace_store.packed_trace(wb, r.run.id)).frame_times_ms for r in siblings),
        faults=in_the_log(each.faults, begins_s(trace, measured)),
        not_measured=tuple(left_by(measured, length_s(trace))),
    )


def left_by(window: Window, whole_s: float) -> Iterator[Place]:
    """The parts of a log, `whole_s` long, that a window leaves out."""
    if window.start_s > 0:
        yield Place(from_s=0.0, to_s=min(window.start_s, whole_s))
    if window.end_s is not None and window.end_s < whole_s:
        yield Place(from_s=window.end_s, to_s=whole_s)


def numbered(sets: Iterable[Set], style: Style) -> Iterator[Drawn]:
    """Pictures under names; a set that goes over several cards is numbered."""
    theme = style.theme or Theme.LIGHT
    for each in sets:
        for number, picture in enumerate(each.pictures, start=1):
            ending = f"-{number}" if len(each.pictures) > 1 else ""
            yield Drawn(name=f"{each.name}{ending}", picture=picture, theme=theme, pair=each.pair)


def save_pictures(drawn: Sequence[Drawn], folder: Path, *, watch: Watch | None = None) -> tuple[Path, ...]:
    """Each picture as SVG with its fonts inside and as PNG; each file whole or not at all.

    Raises BadRecord where the folder refuses, or the disk is full.
    """
    files: list[Path] = []
    try:
        folder.mkdir(parents=True, exist_ok=True)
        with painter_for(len(drawn)) as painter:
            pngs = painted_in_order([to_be_painted(one.picture, one.theme) for one in drawn], painter)
            for done, (one, pixels) in enumerate(zip(drawn, pngs, strict=True), start=1):
                svg, png = folder / f"{one.name}.svg", folder / f"{one.name}.png"
                write_whole(svg, standalone(one.picture).encode())
                write_whole(png, pixels)
                files += [svg, png]
                if watch is not None:
                    watch(done, len(drawn), one.name)
    except OSError as error:
        raise unwritable(folder, error) from error
    return tuple(files)
