"""What the smallest difference that matters means in a test's own unit."""

from __future__ import annotations

from dataclasses import dataclass
from statistics import fmean

from evenhand.desk.bench.hiding import names_hidden
from evenhand.desk.on_record import StudyOnRecord
from evenhand.publish.numbers import decimals_alone, margin_words, number, with_unit
from evenhand.records.tests import Measures, Test

EXAMPLE = 60.0  # fps, where nothing has been measured


@dataclass(frozen=True, slots=True, kw_only=True)
class Posts:
    """The two posts around a number: differences between them are too small to matter."""

    margin: str
    of: str
    low: str
    middle: str
    high: str


def posts_of(record: StudyOnRecord) -> Posts:
    """The posts around what the first setup makes in the first test that has runs, or around an example."""
    margin = record.study.margin
    for test in sorted(record.compared_tests, key=lambda test: test.measures is not Measures.FRAMES):
        level = level_of(record, test)
        if level is not None:
            who = record.builds[record.setups[record.study.setups[0]].build].name
            return _posts(margin, level, test.unit, f"{test.name}, as {who} runs it")
    return _posts(margin, EXAMPLE, "fps", f"a test that runs at {EXAMPLE:g} fps, for example")


def level_of(record: StudyOnRecord, test: Test) -> float | None:
    """What the study's first setup makes in a test, over its runs that count.

    None without any, and while names are hidden.
    """
    if not record.study.setups or names_hidden(record):
        return None
    cell = record.cell(test.key, record.study.setups[0])
    values = [value for each in cell if each.state.counts and (value := each.headline(test)) is not None]
    return fmean(values) if values else None


def step_of(record: StudyOnRecord, test: Test) -> str:
    """The margin in the test's unit; "" where nothing was measured."""
    level = level_of(record, test)
    if level is None:
        return ""
    step = level * record.study.margin
    return with_unit(f"±{number(step, decimals_alone(step, 2))}", test.unit)


def _posts(margin: float, level: float, unit: str, of: str) -> Posts:
    # The margin is one of the ratio: as far below as above, so that it is the same whichever comes first.
    low, middle, high = level / (1 + margin), level, level * (1 + margin)
    digits = decimals_alone(level)
    said = [with_unit(number(value, digits), unit) for value in (low, middle, high)]
    return Posts(margin=margin_words(margin), of=of, low=said[0], middle=said[1], high=said[2])
