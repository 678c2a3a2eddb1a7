"""The plan of a study's bench days: how many runs, how long, what they will show, in which order."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from datetime import datetime

from evenhand.desk.bench.hiding import as_told, names_hidden
from evenhand.desk.bench.outlooks import outlook_of
from evenhand.desk.bench.plan_needs import Terms, bench_of, left_without, pace_of
from evenhand.desk.bench.plan_on_record import plan_on_record
from evenhand.desk.bench.plan_standing import PlanNow, SlotNow
from evenhand.desk.bench.planning import preview
from evenhand.desk.names import names_of
from evenhand.desk.on_record import StudyOnRecord, load_study
from evenhand.desk.pages.blocks import DayPicture, Lane, day_pictures
from evenhand.desk.pages.frame import Frame, frame_of
from evenhand.desk.pages.looks_offered import looks_offered, tried_looks
from evenhand.desk.pages.plan_words import answer_of, cautions_of, lead_of, odd_words, said_of
from evenhand.errors import BadRecord
from evenhand.plans.outlook import TestOutlook
from evenhand.plans.spreads import Source
from evenhand.publish.durations import run_time_words
from evenhand.publish.names import Names
from evenhand.publish.numbers import capital, number, with_unit
from evenhand.records.plans import Plan
from evenhand.store.workbench import Workbench

ASSUMED = "assumed: nothing is known yet"


@dataclass(frozen=True, slots=True, kw_only=True)
class TestLine:
    """One test: what a run takes, the spread to expect and its source, and what the plan will show.

    `odd` says which runs carry the spread by themselves, "" where none do.
    """

    __test__ = False  # tells pytest that this is not a test of ours

    name: str
    minutes: str
    spread: str
    source: str
    half: str
    needed: str
    shows: bool
    odd: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class SlotLine:
    """One slot in the list; `state` in words."""

    place: int
    day: int
    block: int
    boot: str
    test: str
    setup: str
    slot: int
    minutes: str
    state: str
    kind: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Rig:
    """A rig of the plan: its build's key and name; `spare` where two setups are left without it.

    `out` where the plan was laid out without it.
    """

    key: str
    name: str
    slot: int
    spare: bool
    out: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class PlanPage:
    """What the page shows. `saved` says whether the plan is on record; else it is what would be made.

    `trouble` says why there is nothing to show, `instead` why others than the usual looks are. `looks` are
    the choices, as values and words; `given` is what the standing plan was made of, by the fields of the
    form, `before` the plan that stood before it, 0 for none.
    """

    frame: Frame
    answer: str
    lead: str
    said: tuple[str, ...]
    saved: bool
    days: tuple[DayPicture, ...]
    lanes: tuple[Lane, ...]
    tests: tuple[TestLine, ...]
    asked: str
    slots: tuple[SlotLine, ...]
    rigs: tuple[Rig, ...]
    looks: tuple[tuple[str, str], ...]
    trouble: str = ""
    instead: str = ""
    cautions: tuple[str, ...] = ()
    given: Mapping[str, str] = field(default_factory=dict)
    before: int = 0


@dataclass(frozen=True, slots=True, kw_only=True)
class Asked:
    """What the page is asked for: the terms and seed of a plan to be looked at before it is made."""

    terms: Terms
    seed: int


def plan_page(wb: Workbench, study: str, *, asked: Asked | None, now: datetime) -> PlanPage:
    """The standing plan; or, where there is none or one is asked for, the plan that would be made."""
    record = load_study(wb, study)
    standing, trouble = None if asked else plan_on_record(record), None
    if standing is None:
        usual = tuple(Asked(terms=Terms(looks=at), seed=0) for at in tried_looks(record))
        wanted = (asked,) if asked else usual
        standing, trouble = record.once(f"would be {wanted}", lambda r: _would_be(wanted, r, now=now))
    return _page(wb, record, standing, saved=asked is None and record.plan is not None, trouble=trouble)


def _would_be(
    wanted: Iterable[Asked], record: StudyOnRecord, *, now: datetime
) -> tuple[PlanNow | None, BadRecord | None]:
    """The first of these plans that has anything to run, None where none has; and why the first has not."""
    first = None
    for each in wanted:
        try:
            return preview(record, each.terms, seed=each.seed, now=now), first
        except BadRecord as refused:
            first = first or refused
    return None, first


def _page(
    wb: Workbench, record: StudyOnRecord, standing: PlanNow | None, *, saved: bool, trouble: BadRecord | None
) -> PlanPage:
    names = names_of(record)
    seen = None if standing is None else outlook_of(wb, record, standing.live.looks)
    standing = None if standing is None else as_told(record, standing)
    hidden = names_hidden(record)
    days, lanes = day_pictures(standing, record, names) if standing else ((), ())
    return PlanPage(
        frame=frame_of(record, "bench"),
        answer=answer_of(standing, seen, saved=saved),
        lead=lead_of(standing),
        said=tuple(said_of(record, standing)) if standing else (),
        saved=saved,
        days=days,
        lanes=lanes,
        tests=tuple(_test_line(record, test, hidden) for test in seen.tests) if seen else (),
        asked=with_unit(f"{100 * record.study.margin:.3g}", "%"),
        slots=tuple(_slot_line(at, each, names, hidden) for at, each in enumerate(standing.slots, 1))
        if standing
        else (),
        rigs=tuple(_rigs(record, left_without(record, standing) if standing else frozenset())),
        looks=tuple(looks_offered(record, standing)),
        trouble="" if standing or trouble is None else f"{capital(trouble.found)}; {trouble.todo}.",
        given=given_of(record, standing.plan) if standing else {},
        before=before_of(record) if saved else 0,
        cautions=tuple(cautions_of(record, standing)) if standing else (),
        instead=_instead(trouble) if standing and trouble else "",
    )


def _instead(refused: BadRecord) -> str:
    why = refused.found.removeprefix("nothing is left to run: ")
    return f"{capital(why)}. Looks that lie ahead of them are shown here."


def before_of(record: StudyOnRecord) -> int:
    """The plan that stood before the standing one; 0 where none did."""
    last = record.plans[-2] if len(record.plans) > 1 else None
    return last.id if last is not None and last.slots else 0


def given_of(record: StudyOnRecord, plan: Plan) -> dict[str, str]:
    """What a plan was made of, as far as it tells."""
    pace = pace_of(plan, bench_of(record))
    return {
        "looks": ",".join(map(str, plan.looks)),
        "at_once": f"{pace.at_once}",
        "warm_up": f"{pace.warm_up:g}",
        "reboot": f"{pace.reboot:g}",
        "seed": f"{plan.seed}",
    }


def _rigs(record: StudyOnRecord, out: frozenset[str]) -> Iterator[Rig]:
    of = [record.setups[key].build for key in record.study.setups]
    for key in dict.fromkeys(of):
        build = record.builds[key]
        spare = len(of) - of.count(key) >= 2
        yield Rig(key=key, name=build.name, slot=build.slot, spare=spare, out=key in out)


def _test_line(record: StudyOnRecord, seen: TestOutlook, hidden: bool) -> TestLine:  # noqa: FBT001
    test = record.tests[seen.test]
    known = test.minutes is not None
    minutes = run_time_words(test.minutes) if test.minutes is not None else "4\u00a0min"
    return TestLine(
        name=test.name,
        minutes=minutes if known else f"{minutes}, not said",
        spread=_percent(seen.expected.scatter.sd),
        source=seen.expected.source.value if seen.expected.source is not Source.DEFAULT else ASSUMED,
        half=f"±\u00a0{_percent(seen.half)}",
        needed="more than 60" if seen.runs_needed is None else number(seen.runs_needed),
        shows=seen.shows,
        odd=odd_words(record, seen.expected, hidden=hidden),
    )


def _percent(log: float) -> str:
    return with_unit(number(100 * log, 1), "%")


def _slot_line(place: int, each: SlotNow, names: Names, hidden: bool) -> SlotLine:  # noqa: FBT001
    """One slot; while names are `hidden`, where a run stands must not tell of a build."""
    slot = each.slot
    hidden = hidden and each.run is not None
    state = each.state.value if not each.why else f"{each.state.value}: {each.why}"
    return SlotLine(
        place=place, day=slot.day, block=slot.block, boot=slot.boot,
        test=names.test(slot.test), setup="a build" if hidden else names.setup(slot.setup),
        slot=0 if hidden else names.slot(slot.setup).number,
        minutes=run_time_words(slot.minutes), state=state, kind=each.state.value.replace(" ", "-"),
    )  # fmt: skip
