"""What is told of a run while names are open: its numbers, its conditions, its siblings and its files."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from evenhand.desk.bench.bench_values import as_typed
from evenhand.desk.logs.measuring import window_of
from evenhand.desk.logs.readings import UNREADABLE
from evenhand.desk.names import names_of
from evenhand.desk.on_record import RunOnRecord, StudyOnRecord
from evenhand.desk.pages.frame import address
from evenhand.desk.pages.run_cards import state_words
from evenhand.desk.runs.deciding import label_of
from evenhand.desk.study.moments import Clock, begun_words
from evenhand.metrics.definitions import definition
from evenhand.publish.numbers import capital, level_words, number, run_words, with_unit
from evenhand.publish.spans import Span
from evenhand.publish.window_words import window_words
from evenhand.records.tests import Measures

SENSOR = "sensor:"
WITHIN = 0.95  # the level of the interval that a single run gives of itself


@dataclass(frozen=True, slots=True, kw_only=True)
class NumberRow:
    """One number: what it is called, its value with its unit, the interval and what it means in full."""

    key: str
    label: str
    value: str
    interval: str
    meaning: str
    headline: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Sibling:
    """Another run of the same test on the same setup."""

    label: str
    address: str
    value: str
    stands: str
    here: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Open:
    """What would tell whose run it is.

    `facts` are names with values; `absent` numbers with the reason why there is none; `trace` is where the
    frames are as numbers, `drawn` where they are as a picture, "" where there are none; `files` are words and
    addresses; `ambient` and `wall` what was read beside it, as typed.
    """

    facts: tuple[tuple[str, str], ...]
    numbers: tuple[NumberRow, ...]
    sensors: tuple[NumberRow, ...]
    absent: tuple[tuple[str, str], ...]
    siblings: tuple[Sibling, ...]
    trace: str
    drawn: str
    trace_words: str
    files: tuple[tuple[str, str], ...]
    ambient: str = ""
    wall: str = ""


def open_of(record: StudyOnRecord, each: RunOnRecord, clock: Clock) -> Open:
    """Everything that is told of a run at once."""
    rows = tuple(number_rows(record, each))
    frames = record.tests[each.run.test].measures is Measures.FRAMES and UNREADABLE not in each.metrics.absent
    own = address(record.study.key, "runs", each.run.id)
    files = [("The log as it came", f"{own}/log")] if each.run.log else []
    files += [("The sensor log as it came", f"{own}/sensors")] if each.run.sensors else []
    return Open(
        facts=tuple(facts_of(record, each, clock)),
        numbers=tuple(row for row in rows if not row.key.startswith(SENSOR)),
        sensors=tuple(row for row in rows if row.key.startswith(SENSOR)),
        absent=tuple((capital(label_of(key)), why) for key, why in each.metrics.absent.items()),
        siblings=tuple(siblings_of(record, each)),
        trace=f"/api/runs/{each.run.id}/trace" if frames else "",
        drawn=f"{own}/trace.svg" if frames else "",
        trace_words=f"Time of every frame of {each.run.label}",
        files=tuple(files),
        ambient=as_typed(each.run.ambient_c),
        wall=as_typed(each.run.wall_w),
    )


def number_rows(record: StudyOnRecord, each: RunOnRecord) -> Iterator[NumberRow]:
    """The run's numbers, its test's headline first."""
    test = record.tests[each.run.test]
    keys = sorted(each.metrics.values, key=lambda key: key != test.metric)
    for key in keys:
        found, value = definition(key), each.metrics.values[key]
        unit = test.unit if key == test.metric else found.unit
        bounds = each.metrics.within_run.get(key)
        yield NumberRow(
            key=key,
            label=capital(found.label),
            value=run_words(value, unit),
            interval="" if bounds is None else interval_words(value, bounds, unit),
            meaning=found.meaning,
            headline=key == test.metric,
        )


def interval_words(value: float, bounds: tuple[float, float], unit: str) -> str:
    """The interval that a run gives of itself, and how little that says."""
    span = Span(value=value, low=bounds[0], high=bounds[1])
    said = f"{with_unit(span.range(), unit)}, at {level_words(WITHIN)}"
    return f"{said}, within this run only: it says nothing of how runs differ"


def facts_of(record: StudyOnRecord, each: RunOnRecord, clock: Clock) -> Iterator[tuple[str, str]]:
    """Where the run stands in the bench day, its conditions, and what it says of itself."""
    run = each.run
    yield "Build", names_of(record).setup(run.setup)
    yield "Test", record.tests[run.test].name
    if run.boot is not None:
        yield "Boot", run.boot
    if run.order is not None:
        yield "Place in the order", str(run.order)
    if run.started_at is not None:
        yield "Begun", begun_words(run.started_at, clock)
    if run.ambient_c is not None:
        yield "Room", with_unit(number(run.ambient_c, 1), "°C")
    if run.wall_w is not None:
        yield "At the wall", with_unit(as_typed(run.wall_w), "W")
    window = window_of(record.tests[run.test], run)
    if not window.whole:
        yield "Measured", capital(window_words(window))
    for stamp, said in run.stamps.items():
        yield "OS" if stamp == "os" else capital(stamp), said
    yield "Id", run.id


def siblings_of(record: StudyOnRecord, each: RunOnRecord) -> Iterator[Sibling]:
    """All runs of the same test on the same setup, this one among them, in order of arrival."""
    test = record.tests[each.run.test]
    for other in record.cell(each.run.test, each.run.setup):
        value = other.headline(test)
        yield Sibling(
            label=other.run.label,
            address=address(record.study.key, "runs", other.run.id),
            value="" if value is None else run_words(value, test.unit),
            stands=state_words(other.state),
            here=other.run.id == each.run.id,
        )
