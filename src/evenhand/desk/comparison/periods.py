"""Runs by the conditions they were made under, so that a machine may be followed across a change."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field, replace
from functools import lru_cache

from evenhand.desk.comparison.counting import better_of, observations
from evenhand.desk.comparison.drifts import unsteady_runs
from evenhand.desk.on_record import RunOnRecord, StudyOnRecord
from evenhand.findings.bridges import Period
from evenhand.findings.control import Session
from evenhand.findings.factors import NOT_ON_RECORD
from evenhand.findings.fairness import TEST_STAMPS
from evenhand.findings.finding import Cell, Joint, Observation, Under, Unsteady
from evenhand.findings.machines import is_of_machine, same_value
from evenhand.findings.steadiness import unsteady_of
from evenhand.records.builds import Setup
from evenhand.records.tests import Test
from evenhand.triage.stamp_words import plain_stamps

SOFTWARE = ("driver", "os", "version")
"""Stamps that must not differ between two machines unbridged, even where none was run under both."""

Conditions = tuple[tuple[str, str], ...]
"""The stamps that changed, by name, and what a run says of each."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Times:
    """The periods of a study in order of time, and its bench days.

    Cells are named by machine: setups of one build in one state that differ in conditions only are one
    machine, named by the first of them; `machines` says which each setup is. `changed` are the stamps that
    tell periods apart, `ran` the periods of each setup's own runs by test, `runs` a machine's runs by period
    and test; `unsteady` are the anchors whose charts are not at rest, by test.
    """

    changed: tuple[str, ...]
    periods: tuple[Period, ...]
    sessions: tuple[Session, ...]
    machines: Mapping[str, str] = field(default_factory=dict)
    ran: Mapping[tuple[str, str], tuple[str, ...]] = field(default_factory=dict)
    runs: Mapping[tuple[str, str, str], tuple[RunOnRecord, ...]] = field(default_factory=dict)
    unsteady: Mapping[tuple[str, str], Unsteady] = field(default_factory=dict)

    def of(self, test: str, machine: str) -> tuple[Period, ...]:
        """The periods in which a machine was run in a test."""
        return tuple(period for period in self.periods if period.cell(test, machine))

    def unsteady_in(self, name: str, test: str, machine: str) -> Unsteady | None:
        """What the chart of a machine says of its runs under these conditions; None where it is at rest."""
        return unsteady_runs(self.unsteady.get((test, machine)), self.runs.get((name, test, machine), ()))


def times_of(record: StudyOnRecord) -> Times:
    """What changed while the study was measured, as its counting runs tell."""
    return record.once("times", _times)


def under_of(record: StudyOnRecord, test: str, setup: str, metric: str) -> Under | None:
    """The conditions that a setup was run under in a test; None where all was run under one.

    What leads from them to others is told with its numbers of `metric`.
    """
    times = times_of(record)
    if len(times.periods) < 2:
        return None
    own = times.ran.get((test, setup), ())
    names = dict.fromkeys(name for (of, _), ran in times.ran.items() if of == test for name in ran)
    if not own or len(names) < 2:
        return None
    machine = times.machines[setup]
    runs = (
        (each.run.id, name) for name in own for each in times.runs[name, test, machine]
        if each.run.setup == setup
    )  # fmt: skip
    ways = {name: own for name in names if name not in own}
    return Under(
        machine=machine, names=own, changed=times.changed, of=tuple(runs) if len(own) > 1 else (),
        joined=tuple(_joints(times, test, metric, ways)),
    )  # fmt: skip


def _joints(times: Times, test: str, metric: str, ways: Mapping[str, tuple[str, ...]]) -> Iterator[Joint]:
    """Every machine with numbers under conditions and under those that lead there, by where they lead."""

    def seen(name: str, machine: str) -> tuple[Observation, ...]:
        return tuple(observations(times.runs.get((name, test, machine), ()), metric))

    for there, own in ways.items():
        for machine in anchors_of(times):
            for here in own:
                beside, across = seen(here, machine), seen(there, machine)
                if beside and across:
                    unsteady = (
                        times.unsteady_in(here, test, machine),
                        times.unsteady_in(there, test, machine),
                    )
                    yield Joint(
                        machine=machine, here=here, there=there, beside=beside, across=across,
                        unsteady=unsteady,
                    )  # fmt: skip


def unsteady_setup(record: StudyOnRecord, test: str, setup: str) -> Unsteady | None:
    """What the chart of its machine says of a setup's own runs; None where it is at rest."""
    times = times_of(record)
    if not times.unsteady:
        return None
    counting = [each for each in record.cell(test, setup) if each.state.counts]
    return unsteady_runs(times.unsteady.get((test, times.machines[setup])), counting)


def anchors_of(times: Times) -> tuple[str, ...]:
    """Machines with runs of one test under two sets of conditions, those with most such tests first."""
    machines = dict.fromkeys(times.machines.values())
    tests = dict.fromkeys(cell.test for period in times.periods for cell in period.cells)
    crossing = {m: sum(len(times.of(test, m)) > 1 for test in tests) for m in machines}
    found = [machine for machine in machines if crossing[machine]]
    return tuple(sorted(found, key=lambda machine: -crossing[machine]))


def _times(record: StudyOnRecord) -> Times:
    runs = [each for each in record.runs if each.state.counts and each.run.test in record.study.tests]
    machines = machines_of(record)
    said = dict(_said(runs, record))
    changed = _changed(runs, said, machines)
    placed: dict[Conditions, dict[tuple[str, str], list[RunOnRecord]]] = {}
    ran: dict[tuple[str, str], dict[str, None]] = {}
    for each in sorted(runs, key=_when):
        under = _under(said[each.run.id], changed[each.run.test])
        cell = (each.run.test, machines[each.run.setup])
        placed.setdefault(under, {}).setdefault(cell, []).append(each)
        ran.setdefault((each.run.test, each.run.setup), {})[conditions_words(under)] = None
    periods = tuple(
        Period(
            name=conditions_words(under),
            cells=tuple(_cell(record, place, own) for place, own in cells.items()),
        )
        for under, cells in placed.items()
    )  # fmt: skip
    sessions = tuple(
        session for under, cells in placed.items()
        for place, own in cells.items() for session in _sessions(record, place, own, under)
    )  # fmt: skip
    names = tuple(dict.fromkeys(name for of_test in changed.values() for name in of_test))
    return _with_unsteady(Times(
        changed=names, periods=periods, sessions=sessions, machines=machines,
        ran={place: tuple(own) for place, own in ran.items()},
        runs={
            (conditions_words(under), *place): tuple(own)
            for under, cells in placed.items() for place, own in cells.items()
        },
    ))  # fmt: skip


def _with_unsteady(times: Times) -> Times:
    """The same with what control charts say of the machines that were run across a change."""
    found = replace(times, unsteady=unsteady_of(times.sessions, anchors_of(times)))
    if not found.unsteady:
        return found
    periods = tuple(
        replace(period, cells=tuple(
            replace(cell, unsteady=found.unsteady_in(period.name, cell.test, cell.setup))
            for cell in period.cells
        ))
        for period in found.periods
    )  # fmt: skip
    return replace(found, periods=periods)


def machines_of(record: StudyOnRecord) -> dict[str, str]:
    """By setup the machine that it is: the first setup of the same build, state and clocks."""
    first: dict[tuple[object, ...], str] = {}
    return {key: first.setdefault(_machine(setup), key) for key, setup in record.setups.items()}


def _machine(setup: Setup) -> tuple[object, ...]:
    own = {name: value for name, value in plain_stamps(setup.stamps).items() if is_of_machine([value])}
    return (setup.build, setup.state, tuple(sorted(own.items())))


def _said(runs: list[RunOnRecord], record: StudyOnRecord) -> Iterator[tuple[str, dict[str, str]]]:
    """What each run says of itself, and its setup where it is silent; without what its test fixes."""
    of_setups = {key: plain_stamps(setup.stamps) for key, setup in record.setups.items()}
    fixed_by = {
        key: (TEST_STAMPS | plain_stamps(test.settings).keys()) - {"version"}
        for key, test in record.tests.items()
    }
    found: dict[tuple[object, ...], dict[str, str]] = {}  # most runs of a cell say the very same
    for each in runs:
        place = each.run.test, each.run.setup, tuple(each.run.stamps.items())
        if place not in found:
            stamps = {**of_setups[each.run.setup], **plain_stamps(each.run.stamps)}
            fixed = fixed_by[each.run.test]
            found[place] = {
                name: value
                for name, value in stamps.items()
                if name not in fixed and not is_of_machine([value])
            }
        yield each.run.id, found[place]


def _changed(
    runs: list[RunOnRecord], said: Mapping[str, Mapping[str, str]], machines: Mapping[str, str]
) -> dict[str, tuple[str, ...]]:
    """By test, the stamps that changed on one machine, or on which machines differ though they must not."""
    found: dict[str, tuple[str, ...]] = {}
    names = dict.fromkeys(name for stamps in said.values() for name in stamps)
    by_test: dict[str, list[tuple[str, Mapping[str, str]]]] = {}
    for each in runs:
        by_test.setdefault(each.run.test, []).append((machines[each.run.setup], said[each.run.id]))
    for test, seen in by_test.items():
        found[test] = tuple(name for name in names if _is_change(name, seen))
    return found


def _is_change(name: str, seen: list[tuple[str, Mapping[str, str]]]) -> bool:
    """Whether one machine says two things under this name, or two machines do that must not."""
    of: dict[str, dict[str, None]] = {}
    for machine, stamps in seen:
        of.setdefault(machine, {})[stamps.get(name, NOT_ON_RECORD)] = None
    everything = [value for values in of.values() for value in values if value != NOT_ON_RECORD]
    return any(_several(list(values)) for values in of.values()) or (
        name in SOFTWARE and _several(everything)
    )


def _several(values: list[str]) -> bool:
    return any(not same_value(values[0], value) for value in values[1:])


def _under(stamps: Mapping[str, str], changed: tuple[str, ...]) -> Conditions:
    return tuple((name, stamps.get(name, NOT_ON_RECORD)) for name in changed)


def _when(each: RunOnRecord) -> tuple[float, int]:
    at = each.run.started_at
    return (0.0 if at is None else at.timestamp(), each.run.order or 0)


@lru_cache(maxsize=1024)
def conditions_words(under: Conditions) -> str:
    """Conditions as they are called: "driver 31.6"."""
    return ", ".join(f"{name} {value}" for name, value in under) or "one set of conditions"


def _cell(record: StudyOnRecord, place: tuple[str, str], runs: list[RunOnRecord]) -> Cell:
    test: Test = record.tests[place[0]]
    return Cell(
        test=test.key, setup=place[1], metric=test.metric, better=better_of(test, test.metric),
        observations=tuple(observations(tuple(runs), test.metric)), group=test.group,
        version=test.version, locked=test.locked_fps is not None,
    )  # fmt: skip


def _sessions(
    record: StudyOnRecord, place: tuple[str, str], runs: list[RunOnRecord], under: Conditions
) -> list[Session]:
    """One bench day each; runs without a time belong to none."""
    days: dict[object, list[RunOnRecord]] = {}
    for each in runs:
        if each.run.started_at is not None:
            days.setdefault(each.run.started_at.date(), []).append(each)
    name = conditions_words(under)
    found = []
    for own in days.values():
        at = min(each.run.started_at for each in own if each.run.started_at)
        found.append(Session(at=at, cell=_cell(record, place, own), under=name))
    return found
