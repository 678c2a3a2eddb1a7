"""Clean runs as rows of a table that can be put in order by any column."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from typing import Protocol

from evenhand.desk.names import metric_label, names_of
from evenhand.desk.on_record import RunOnRecord, StudyOnRecord
from evenhand.desk.pages.frame import address
from evenhand.desk.study.moments import Clock, begun_words
from evenhand.publish.numbers import counted, run_words

RUN, BUILD, TEST, VALUE, BOOT, ORDER, WHEN = "run", "build", "test", "value", "boot", "order", "when"
COLUMNS = {
    RUN: "Run", BUILD: "Build", TEST: "Test", VALUE: "Its number", BOOT: "Boot", ORDER: "Order",
    WHEN: "Begun",
}  # fmt: skip
RIGHT = (VALUE, ORDER)


@dataclass(frozen=True, slots=True, kw_only=True)
class Column:
    """One column's head: where it leads to, and how the rows stand by it ("", ascending, descending)."""

    words: str
    address: str
    sorted: str
    right: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class RunRow:
    """One clean run: its cells as they are read. `lead` begins its label where other columns say the same."""

    label: str
    lead: str
    address: str
    build: str
    slot: int
    test: str
    value: str
    metric: str
    boot: str
    order: str
    when: str
    notes: str


class Leading(Protocol):
    """Gives the address that shows the rows in another order."""

    def __call__(self, *, sort: str, down: bool) -> str:
        """The address with the rows by this column, turned round where `down`."""


def columns_of(sort: str, *, down: bool, leading: Leading) -> Iterator[Column]:
    """The heads of all columns; the one that rows stand by turns them round."""
    for key, words in COLUMNS.items():
        here = key == sort
        yield Column(
            words=words,
            address=leading(sort=key, down=here and not down),
            sorted=("descending" if down else "ascending") if here else "",
            right=key in RIGHT,
        )


def in_sequence(
    runs: Sequence[RunOnRecord], record: StudyOnRecord, *, sort: str, down: bool
) -> tuple[RunOnRecord, ...]:
    """The runs by one column, those without a value in it last; in order of arrival where none is named."""
    if sort not in COLUMNS:
        return tuple(runs)
    key = keys_of(record)[sort]
    known = sorted((each for each in runs if key(each) is not None), key=_comparable(key), reverse=down)
    if sort == VALUE:  # a number is more or less only beside others of its test
        tests = list(record.tests)
        known.sort(key=lambda each: tests.index(each.run.test))
    return (*known, *(each for each in runs if key(each) is None))


Key = Callable[[RunOnRecord], object]


def keys_of(record: StudyOnRecord) -> dict[str, Key]:
    """By what each column puts runs in order."""
    names, place = names_of(record), {test: at for at, test in enumerate(record.tests)}

    return {
        RUN: lambda each: each.run.label.casefold(),
        BUILD: lambda each: names.setup(each.run.setup).casefold(),
        TEST: lambda each: place[each.run.test],
        VALUE: lambda each: each.headline(record.tests[each.run.test]),
        BOOT: lambda each: each.run.boot,
        ORDER: lambda each: each.run.order,
        WHEN: lambda each: None if each.run.started_at is None else each.run.started_at.timestamp(),
    }


def _comparable(key: Key) -> Callable[[RunOnRecord], tuple[object]]:
    return lambda each: (key(each),)


def lead_of(label: str, build: str, test: str) -> str:
    """How a label begins that names build and test, as the columns beside it do; "" where it does not.

    >>> lead_of("Wren, Salt Causeway, run 3", "Wren", "Salt Causeway"), lead_of("late take", "Wren", "Export")
    ('Wren, Salt Causeway, ', '')
    """
    for lead in (f"{build}, {test}, ", f"{build}, {test} "):
        if label.startswith(lead) and len(label) > len(lead):
            return lead
    return ""


def row_of(record: StudyOnRecord, each: RunOnRecord, clock: Clock, *, noted: str = "") -> RunRow:
    """One clean run, its start by this clock; what triage only noted about it is counted, `noted` told."""
    names, test, run = names_of(record), record.tests[each.run.test], each.run
    value = each.headline(test)
    return RunRow(
        label=run.label,
        lead=lead_of(run.label, names.setup(run.setup), names.test(run.test)),
        address=address(record.study.key, "runs", run.id),
        build=names.setup(run.setup),
        slot=names.slot(run.setup).number,
        test=names.test(run.test),
        value="" if value is None else run_words(value, test.unit),
        metric=metric_label(test.metric),
        boot=run.boot or "not known",
        order="" if run.order is None else str(run.order),
        when="" if run.started_at is None else begun_words(run.started_at, clock),
        notes=", ".join(filter(None, (counted(len(each.faults), "note") if each.faults else "", noted))),
    )
