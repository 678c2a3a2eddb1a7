"""The run sheet: a plan on paper, to be ticked off beside the rigs."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import groupby

from evenhand.desk.bench.plan_on_record import plan_on_record
from evenhand.desk.bench.plan_standing import PlanNow, SlotNow, SlotState
from evenhand.desk.names import names_of
from evenhand.desk.on_record import StudyOnRecord, load_study
from evenhand.desk.pages.plan_words import counted_runs, lead_of
from evenhand.errors import NotFound
from evenhand.plans.laying import minutes_of
from evenhand.publish.durations import clock_words, run_time_words
from evenhand.publish.names import Names
from evenhand.publish.numbers import capital, listed, number
from evenhand.store.workbench import Workbench


@dataclass(frozen=True, slots=True, kw_only=True)
class SheetRow:
    """One run to be ticked off: `ticked` where it is made, `struck` where it is not to be run,
    `together` with which other runs it begins.
    """

    place: int
    test: str
    scene: str
    setup: str
    boot: str
    minutes: str
    ambient: str
    wall: str
    ticked: bool
    struck: str
    together: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class SheetBlock:
    """One block: its heading, the boots that begin it, and its rows."""

    heading: str
    boots: str
    rows: tuple[SheetRow, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class SheetPage:
    """The whole sheet."""

    title: str
    study: str
    lead: str
    looks: str
    room: str
    blocks: tuple[SheetBlock, ...]
    left_out: str
    settings: tuple[tuple[str, str], ...]


def sheet_page(wb: Workbench, study: str) -> SheetPage:
    """The standing plan as a sheet. Raises NotFound where the study has none."""
    record = load_study(wb, study)
    standing = plan_on_record(record)
    if standing is None:
        raise NotFound(
            f"“{record.study.title}” has no plan to print", where=str(wb.path), todo="make one first"
        )
    slots = [each.slot for each in standing.slots]
    low, high = record.study.ambient_c or (None, None)
    return SheetPage(
        title=record.study.title,
        study=study,
        lead=f"{counted_runs(len(slots))}, {clock_words(minutes_of(slots))}. Plan {standing.plan.id}, seed "
        f"{standing.plan.seed}, made {standing.plan.at:%Y-%m-%d}.",
        looks=lead_of(standing),
        room="" if low is None else f"Room {low:g} to {high:g} °C.",
        blocks=tuple(_blocks(record, standing)),
        left_out=_left_out(standing),
        settings=tuple(_settings(record, standing)),
    )


def _blocks(record: StudyOnRecord, standing: PlanNow) -> Iterator[SheetBlock]:
    """Every block without the runs that are settled: paper is for what is made."""
    names = names_of(record)
    for (day, block), own in groupby(standing.slots, key=lambda each: (each.slot.day, each.slot.block)):
        whole = list(own)
        there = [each for each in whole if each.state is not SlotState.SETTLED]
        if not there:
            continue
        length = clock_words(minutes_of([each.slot for each in there]))
        gone = len(whole) - len(there)
        left_out = f"; {number(gone)} settled, left out" if gone else ""
        yield SheetBlock(
            heading=f"Day {day}, block {block}: {counted_runs(len(there))}, {length}{left_out}",
            boots=listed(tuple(dict.fromkeys(each.slot.boot for each in there))),
            rows=_joined(tuple(_row(record, standing, each, names) for each in there), there),
        )


def _left_out(standing: PlanNow) -> str:
    """Why numbers of blocks are missing: said, since the bench calls the others by the same numbers."""
    return " ".join(filter(None, (_settled_blocks(standing), _blocks_before(standing))))


def _blocks_before(standing: PlanNow) -> str:
    """The numbers of blocks that earlier plans, or runs on record before them, have used up."""
    own = {each.slot.block for each in standing.slots}
    gone = [block for block in range(1, max(own, default=1)) if block not in own]
    if not gone:
        return ""
    blocks, are = ("Block", "is") if len(gone) == 1 else ("Blocks", "are")
    return f"{blocks} {spans_words(gone)} {are} of earlier plans or runs: no number is used twice."


def spans_words(numbers: Sequence[int]) -> str:
    """Rising whole numbers, those in a row from first to last.

    >>> spans_words([2, 3, 4, 8]), spans_words([2, 3]), spans_words([5])
    ('2 to 4 and 8', '2 and 3', '5')
    """
    spans: list[list[int]] = []
    for each in numbers:
        if spans and each == spans[-1][-1] + 1:
            spans[-1].append(each)
        else:
            spans.append([each])
    told = [
        [f"{number(s[0])} to {number(s[-1])}"] if len(s) > 2 else [number(each) for each in s] for s in spans
    ]
    return listed(tuple(words for own in told for words in own))


def _settled_blocks(standing: PlanNow) -> str:
    every = dict.fromkeys((each.slot.day, each.slot.block) for each in standing.slots)
    there = {
        (each.slot.day, each.slot.block) for each in standing.slots if each.state is not SlotState.SETTLED
    }
    gone = [block for block in every if block not in there]
    if not gone:
        return ""
    days = {day: tuple(number(block) for of, block in gone if of == day) for day, _ in gone}
    told = [
        f"{'block' if len(own) == 1 else 'blocks'} {listed(own)} of day {day}" for day, own in days.items()
    ]
    their = "its runs are" if len(gone) == 1 else "their runs are"
    return f"{capital(listed(tuple(told)))} left out: {their} settled. Others keep their number."


def _joined(rows: tuple[SheetRow, ...], there: list[SlotNow]) -> tuple[SheetRow, ...]:
    """Rows that each say with which others they begin."""
    turns: dict[int, list[int]] = {}
    for row, each in zip(rows, there, strict=True):
        turns.setdefault(each.slot.turn or -row.place, []).append(row.place)
    return tuple(
        replace(row, together=_others(turns[each.slot.turn or -row.place], row.place))
        for row, each in zip(rows, there, strict=True)
    )


def _others(places: list[int], own: int) -> str:
    others = tuple(str(place) for place in places if place != own)
    return f"together with {listed(others)}" if others else ""


def _row(record: StudyOnRecord, standing: PlanNow, each: SlotNow, names: Names) -> SheetRow:
    slot = each.slot
    return SheetRow(
        place=standing.place(slot.number), test=names.test(slot.test), scene=record.tests[slot.test].scene,
        setup=names.setup(slot.setup), boot=slot.boot, minutes=run_time_words(slot.minutes),
        ambient=each.notes.get("ambient_c", ""), wall=each.notes.get("wall_w", ""),
        ticked=each.state in (SlotState.DONE, SlotState.IN_DOUBT),
        struck=each.why if each.state is SlotState.SKIPPED else "",
    )  # fmt: skip


def _settings(record: StudyOnRecord, standing: PlanNow) -> Iterator[tuple[str, str]]:
    """What must be alike in every run of a test, for those that say it."""
    for key in dict.fromkeys(each.slot.test for each in standing.slots):
        test = record.tests[key]
        told = [f"{name} {value}" for name, value in test.settings.items()]
        told = [test.scene, *told] if test.scene else told
        if told:
            yield test.name, ", ".join(told)
