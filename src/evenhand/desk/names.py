"""What readers call a study's setups, tests and conditions."""

from __future__ import annotations

from evenhand.desk.on_record import StudyOnRecord
from evenhand.metrics.definitions import definition
from evenhand.publish.names import Names, SetupName, TestName
from evenhand.publish.numbers import listed
from evenhand.publish.window_words import measured_words
from evenhand.records.tests import Measures, Test
from evenhand.records.windows import WHOLE


def names_of(record: StudyOnRecord) -> Names:
    """Words for keys: builds stand for setups where each setup is a build of its own."""
    setups = record.setups.values()
    one_each = len({setup.build for setup in setups}) == len(record.setups)
    return Names(
        setups={
            setup.key: SetupName(
                name=record.builds[setup.build].name if one_each else setup.name,
                slot=record.builds[setup.build].slot,
            )
            for setup in setups
        },
        tests={test.key: TestName(name=test.name, unit=test.unit) for test in record.tests.values()},
        groups={test.group: test.group for test in record.tests.values() if test.group},
        terms=terms_of(record),
    )


def terms_of(record: StudyOnRecord) -> str:
    """The conditions all runs share: the setups' state and the room."""
    states = {record.setups[key].state for key in record.study.setups}
    said = [next(iter(states)).capitalize()] if len(states) == 1 else []
    if record.study.ambient_c is not None:
        low, high = record.study.ambient_c
        said.append(f"room {low:g} to {high:g} °C")
    return ", ".join((*said, *windows_said(record)))


def windows_said(record: StudyOnRecord) -> tuple[str, ...]:
    """What is measured of the logs of the compared tests, where that is not all of them."""
    framed = [test for test in record.compared_tests if test.measures is Measures.FRAMES]
    cut: dict[tuple[float, float], list[Test]] = {}
    for test in framed:
        cut.setdefault((test.window or WHOLE).sides, []).append(test)
    said = []
    for tests in cut.values():
        window = tests[0].window or WHOLE
        if not window.whole:
            of = "" if len(tests) == len(framed) else f"{listed(tuple(test.name for test in tests))} "
            said.append(of + measured_words(window, "each run"))
    return tuple(said)


def metric_label(key: str) -> str:
    """What readers call a metric."""
    return definition(key).label
