"""The numbers a study's tests are judged by, held against their definitions before anything is stored."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from evenhand.errors import NotFound, nearest
from evenhand.folders.problems import Problem
from evenhand.metrics.definitions import DEFINITIONS, definition
from evenhand.metrics.run_metrics import Definition
from evenhand.metrics.wall import WALL_KEYS
from evenhand.records.tests import Measures, Test
from evenhand.units import find_unit

SCORE = "score"  # the one number whose unit and direction are the test's own


def metric_problems(tests: Iterable[tuple[int, Test]]) -> Iterator[Problem]:
    """What is wrong with the numbers that tests name; each test comes with its number in the file.

    They name one that may enter no finding, or contradict its definition. A test without a headline number
    is told of elsewhere.
    """
    for at, test in tests:
        yield from _of_test(test, at)


def rankable_keys(measures: Measures) -> tuple[str, ...]:
    """The keys that a test of this sort may be judged by.

    >>> rankable_keys(Measures.FRAMES), rankable_keys(Measures.SCORE)
    (('average_fps', 'low_1pct'), ('score',))
    """
    of_score = measures is Measures.SCORE
    own = (key for key, d in DEFINITIONS.items() if d.rankable and key not in WALL_KEYS)
    return tuple(key for key in own if (key == SCORE) == of_score)


def _of_test(test: Test, at: int) -> Iterator[Problem]:
    if test.metric:
        yield from _unfit(test, at, "metric", test.metric)
    for place, key in enumerate(test.also):
        yield from _unfit(test, at, "also", key)
        if key in (test.metric, *test.also[:place]):
            said = f"test '{test.key}' names '{key}' twice"
            yield Problem(path=("tests", at, "also"), found=said, todo="name each number once")
    if test.metric != SCORE and test.metric in rankable_keys(test.measures):
        yield from _contradictions(test, at, definition(test.metric))


def _unfit(test: Test, at: int, where: str, key: str) -> Iterator[Problem]:
    """Why a test may not be judged by this number, if it may not."""
    known = rankable_keys(test.measures)
    if key in known:
        return
    said = f"test '{test.key}' measures {test.measures} and cannot be judged by '{key}': {_why(key)}"
    called = _called(key)
    todo = f'write "{called.key}"' if called is not None and called.key in known else nearest(key, known)
    yield Problem(path=("tests", at, where), found=said, todo=todo)


def _why(key: str) -> str:
    try:
        found = definition(key)
    except NotFound:
        called = _called(key)
        if called is None:
            return "no number is defined so"
        return (
            f"{_why(called.key)} (its key is {called.key})"
            if not called.rankable
            else f"that is what {called.key} is called"
        )
    if key in WALL_KEYS:
        return f"{found.label} is compared by itself wherever runs have it"
    if not found.rankable:
        return f"{found.label} is shown, but may enter no finding"
    return "that is the number of a score" if key == SCORE else "that is a number of frames"


def _called(words: str) -> Definition | None:
    """The number that is shown under these words, if they are its label and not its key."""
    plain = words.casefold().strip()
    return next((d for d in DEFINITIONS.values() if d.label.casefold() == plain and d.key != words), None)


def _contradictions(test: Test, at: int, found: Definition) -> Iterator[Problem]:
    """A frame metric's unit and direction are its definition's; the test may repeat them and no more."""
    if test.direction.value != found.better:
        said = f"test '{test.key}' says that {test.direction} is better; of {found.key} {found.better} is"
        todo = f'write direction = "{found.better}", or leave it out'
        yield Problem(path=("tests", at, "direction"), found=said, todo=todo)
    given = find_unit(test.unit)
    if test.unit != found.unit and (given is None or given.symbol != found.unit):
        said = f"test '{test.key}' gives the unit '{test.unit}'; {found.key} is in {found.unit}"
        todo = f'write unit = "{found.unit}", or leave it out'
        yield Problem(path=("tests", at, "unit"), found=said, todo=todo)
