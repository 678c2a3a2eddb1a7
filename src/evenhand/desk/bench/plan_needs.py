"""What a plan still has to hold: the cells it is about, the runs they lack, the first free numbers."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace

from evenhand.desk.bench.plan_standing import PlanNow, SlotState
from evenhand.desk.bench.planned_without import gone_of
from evenhand.desk.on_record import StudyOnRecord
from evenhand.errors import BadRecord
from evenhand.plans.laying import Begin, Bench, Cell, Pace, minutes_of
from evenhand.plans.looks import CALIBRATED
from evenhand.records.plans import Plan, Slot
from evenhand.records.runs import RunState


@dataclass(frozen=True, slots=True, kw_only=True)
class Terms:
    """What a plan is made of: its looks (the last is the runs of each), setups and tests (none: all)."""

    looks: tuple[int, ...] = CALIBRATED[0].at
    setups: tuple[str, ...] = ()
    tests: tuple[str, ...] = ()
    pace: Pace = field(default_factory=Pace)
    note: str = ""


def terms_from(looks: str, numbers: Mapping[str, float]) -> Terms:
    """Terms as a shell has them: looks with commas between, numbers by the name of the field.

    `at_once` rigs, `warm_up` and `reboot` in minutes, `day` in hours; what is not given has its default.

    >>> terms_from("3,5", {"warm_up": 1.5}).pace.warm_up
    1.5
    """
    usual = Pace()
    pace = Pace(
        warm_up=numbers.get("warm_up", usual.warm_up),
        reboot=numbers.get("reboot", usual.reboot),
        day=60 * numbers.get("day", usual.day / 60),
        at_once=int(numbers.get("at_once", usual.at_once)),
    )
    parts = [part.strip() for part in looks.split(",")]
    if not all(part.isdecimal() and len(part) < 10 for part in parts):
        raise BadRecord(f"'{looks}' are no looks", where="looks", todo="write numbers of runs, as in 3,5,8")
    return Terms(looks=tuple(map(int, parts)), pace=pace)


def bench_of(record: StudyOnRecord) -> Bench:
    """The rigs of a study's setups, and the minutes of its tests where they are known."""
    return Bench(
        rigs={key: setup.build for key, setup in record.setups.items()},
        minutes={key: test.minutes for key, test in record.tests.items() if test.minutes is not None},
    )


def pace_of(plan: Plan, bench: Bench) -> Pace:
    """The pace at which a plan was laid out, as far as its slots tell."""
    at_once = max(Counter(slot.turn for slot in plan.slots if slot.turn).values(), default=1)
    warm_up = max((slot.warm_up for slot in plan.slots), default=0.0)
    return replace(Pace(), warm_up=warm_up, reboot=restart_of(plan, bench), at_once=at_once)


def restart_of(plan: Plan, bench: Bench) -> float:
    """What a restart takes in a plan, in minutes: what the first run of a boot takes beyond a later one.

    Where no test has both, it is what it takes beyond the length that its test has today.
    """
    first: dict[str, float] = {}
    later: dict[str, float] = {}
    booted: set[str] = set()
    for slot in sorted(plan.slots, key=lambda each: each.order):
        of = later if slot.boot in booted else first
        of.setdefault(slot.test, slot.minutes - slot.warm_up)
        booted.add(slot.boot)
    beyond = [first[test] - later[test] for test in first if test in later]
    alone = [minutes - bench.length(test) for test, minutes in first.items()]
    found = beyond or alone
    return max(0.0, round(found[0], 6)) if found else Pace().reboot


def minutes_by_test(record: StudyOnRecord, plan: Plan) -> dict[str, float]:
    """What one more run of each test takes by the clock, its fresh boot and warm-up included.

    Where rigs run at once, a run of each of two setups takes as long as one.
    """
    bench = bench_of(record)
    pace = pace_of(plan, bench)
    around, at_once = pace.reboot + pace.warm_up, min(pace.at_once, 2)
    return {test: (bench.length(test) + around) / at_once for test in record.tests}


def cells_wanted(record: StudyOnRecord, terms: Terms) -> list[Cell]:
    """The tests and setups that a plan is about. Raises BadRecord where nothing is compared."""
    study = record.study
    setups = [key for key in study.setups if not terms.setups or key in terms.setups]
    tests = [key for key in study.tests if not terms.tests or key in terms.tests]
    if len(setups) < 2 or not tests:
        missing = "two setups" if len(setups) < 2 else "a test"
        raise BadRecord(
            f"a plan needs {missing} to compare",
            where=f"study {study.key}",
            todo="say in the brief and the builds what is compared",
        )
    return [(test, setup) for test in tests for setup in setups]


def runs_there(record: StudyOnRecord, cell: Cell) -> int:
    """The runs of a cell that count or wait for a decision."""
    return sum(each.state.counts or each.state is RunState.IN_DOUBT for each in record.cell(*cell))


def still_needed(record: StudyOnRecord, standing: PlanNow, without: Sequence[str]) -> dict[Cell, int]:
    """The runs that cells of the plan still lack, those of rigs left out not counted."""
    planned = dict.fromkeys((slot.test, slot.setup) for slot in standing.plan.slots)
    setups = [key for key in record.study.setups if record.setups[key].build not in without]
    if len(setups) < 2:
        raise BadRecord(
            "fewer than two setups are left to compare", where="plan", todo="wait for a rig, or skip the runs"
        )
    tests = [test for test in record.study.tests if any(test == t for t, _ in planned)]
    gone = gone_of(record, (key for key in record.study.setups if key not in setups))
    skipped = Counter(
        (now.slot.test, now.slot.setup) for now in standing.slots if now.state is SlotState.SKIPPED
    )
    rest = {
        (test, setup): max(
            0, standing.live.looks.last - runs_there(record, (test, setup)) - skipped[test, setup]
        )
        for test in tests
        for setup in setups
        if standing.live.needs(test, setup, gone=gone)
    }
    if not any(rest.values()):
        raise BadRecord("nothing is left to plan", where="plan", todo="see the comparison")
    return rest


def left_without(record: StudyOnRecord, standing: PlanNow) -> frozenset[str]:
    """The rigs (builds) that the standing plan does without, and of which runs are laid out for nobody."""
    rigs = {record.setups[setup].build for setup in standing.dropped if setup in record.setups}
    return frozenset(rigs) - {now.rig for now in standing.coming}


def first_free(record: StudyOnRecord, before: Sequence[Plan], *, used: Sequence[Slot] = ()) -> Begin:
    """The first free numbers after earlier plans and after the runs on record."""
    slots = [slot for plan in before for slot in plan.slots]
    orders = [each.run.order for each in record.runs if each.run.order is not None]
    blocks = [_block_of(each.run.boot, each.run.setup) for each in record.runs]
    today = [slot for slot in slots if slot.day == max((s.day for s in slots if s in used), default=0)]
    done = [slot for slot in today if slot in used]
    return Begin(
        number=1 + max((slot.number for slot in slots), default=0),
        block=1 + max((*(slot.block for slot in slots), *blocks), default=0),
        order=1 + max((*(slot.order for slot in slots), *orders), default=0),
        turn=1 + max((slot.turn for slot in slots), default=0),
        day=done[0].day if done else 1,
        used=minutes_of(done),
    )


def _block_of(boot: str | None, setup: str) -> int:
    """The block in a boot's name as plans give it, 0 in any other."""
    tail = (boot or "").removeprefix(f"{setup}-")
    return int(tail) if tail.isdecimal() and len(tail) < 9 else 0
