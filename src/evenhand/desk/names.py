"""What readers call a study's setups, tests and conditions."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence

from evenhand.desk.on_record import StudyOnRecord
from evenhand.metrics.definitions import definition
from evenhand.publish.direction import isolated
from evenhand.publish.names import Names, SetupName, TestName
from evenhand.publish.numbers import capital, counted, listed, with_unit
from evenhand.publish.palette import SLOTS
from evenhand.publish.window_words import measured_words
from evenhand.records.builds import Setup
from evenhand.records.tests import Measures, Test
from evenhand.records.windows import Window
from evenhand.triage.stamp_words import plain_stamps


def names_of(record: StudyOnRecord) -> Names:
    """Words for keys: builds stand for setups where each setup is a build of its own."""
    setups = record.setups.values()
    one_each = len({setup.build for setup in setups}) == len(record.setups)
    called = {s.key: record.builds[s.build].name if one_each else s.name for s in setups}
    compared = {key: name for key, name in called.items() if key in record.study.setups}
    slots = slots_of(record)
    return Names(
        setups={
            key: SetupName(
                name=name, slot=slots[key], machine=machine_called(key, name, called, record.setups)
            )
            for key, name in (called | told_apart(compared, record.setups)).items()
        },
        tests={test.key: TestName(name=test.name, unit=test.unit) for test in record.tests.values()},
        groups={test.group: test.group for test in record.tests.values() if test.group},
        terms=terms_of(record),
        measured=measured_in_part(record.compared_tests),
    )


def slots_of(record: StudyOnRecord) -> dict[str, int]:
    """The slot each setup wears: its build's, but a further compared setup of that build takes a free one.

    Two states of one build would else be drawn in one mark and one colour. Where no slot is free they share.
    """
    slots = {key: record.builds[setup.build].slot for key, setup in record.setups.items()}
    of_builds = {build.slot for build in record.builds.values()}
    free = [slot.number for slot in SLOTS if slot.number not in of_builds]
    worn: set[int] = set()
    for key in record.study.setups:
        if slots[key] in worn and free:
            slots[key] = free.pop(0)
        worn.add(slots[key])
    return slots


def told_apart(called: Mapping[str, str], setups: Mapping[str, Setup]) -> dict[str, str]:
    """The same names, with what sets them apart where several setups have one: a stamp, else the key.

    An anchor is a setup of its own on either side of a change, and often has one name on both; only those
    that are held against each other need two.
    """
    alike: dict[str, list[str]] = {}
    for key, name in called.items():
        alike.setdefault(name, []).append(key)
    return {
        key: f"{name}{_apart_by(setups[key], [setups[each] for each in alike[name]])}"
        if len(alike[name]) > 1 else name
        for key, name in called.items()
    }  # fmt: skip


def machine_called(key: str, name: str, called: Mapping[str, str], setups: Mapping[str, Setup]) -> str:
    """The name without what sets it apart from other setups of its build; "" where that is the same."""
    builds = {setups[each].build for each, own in called.items() if own == called[key]}
    return called[key] if name != called[key] and len(builds) == 1 else ""


def _apart_by(setup: Setup, others: Sequence[Setup]) -> str:
    """The first stamp of which every one of these setups says something else, or the key."""
    said = [plain_stamps(each.stamps) for each in others]
    for name, value in plain_stamps(setup.stamps).items():
        if len({stamps.get(name) for stamps in said}) == len(others):
            return f", {name} {value}"
    return f" ({setup.key})"


def terms_of(record: StudyOnRecord) -> str:
    """The conditions all runs share: the setups' state and the room."""
    states = {record.setups[key].state for key in record.study.setups}
    said = [next(iter(states)).capitalize()] if len(states) == 1 else []
    if record.study.ambient_c is not None:
        low, high = record.study.ambient_c
        said.append(f"room {with_unit(f'{low:g} to {high:g}', '°C')}")
    elif said:
        return f"State: {said[0].lower()}"  # alone a state's name says nothing of what it is of
    return ", ".join(said)


def measured_in_part(tests: Iterable[Test]) -> tuple[str, ...]:
    """Which of these tests are measured in part: a sentence in full, and in few words; none where none is."""
    framed = [test for test in tests if test.measures is Measures.FRAMES]
    cut: dict[Window, list[Test]] = {}
    for test in framed:
        if test.window is not None and not test.window.whole:
            cut.setdefault(Window(start_s=test.window.start_s, end_s=test.window.end_s), []).append(test)
    if not cut:
        return ()
    all_alike = len(cut) == 1 and len(next(iter(cut.values()))) == len(framed) > 1
    said = []
    for window, own in cut.items():
        of = "" if all_alike else f"{listed(tuple(isolated(test.name) for test in own))} "
        said.append(of + measured_words(window, "each run"))
    n = sum(map(len, cut.values()))
    brief = "Measured in part." if n == len(framed) else f"{capital(counted(n, 'test'))} measured in part."
    return f"{capital('; '.join(said))}.", brief


def metric_label(key: str) -> str:
    """What readers call a metric."""
    return definition(key).label
