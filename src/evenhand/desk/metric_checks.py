"""The numbers a study's tests are judged by, held against their definitions before anything is stored."""

from __future__ import annotations

from collections.abc import Iterator

from evenhand.errors import NotFound, nearest
from evenhand.folders.lines import lines_of
from evenhand.folders.problems import Problem, refusal
from evenhand.folders.study_folder import StudyFolder
from evenhand.metrics.definitions import DEFINITIONS, definition
from evenhand.metrics.run_metrics import Definition
from evenhand.records.tests import Measures, Test
from evenhand.units import find_unit

SCORE = "score"  # the one number whose unit and direction are the test's own


def check_metrics(found: StudyFolder, *, where: str, text: str = "") -> None:
    """Refuse tests that name a number which may enter no finding, or contradict its definition.

    `text` is what `found` was read from: with it each problem has its line. Raises BadRecord with every
    problem at once.
    """
    problems = [problem for at, test in enumerate(found.tests) for problem in _of_test(test, at)]
    if problems:
        raise refusal(problems, where=where, lines=lines_of(text))


def rankable_keys(measures: Measures) -> tuple[str, ...]:
    """The keys that a test of this sort may be judged by.

    >>> rankable_keys(Measures.FRAMES), rankable_keys(Measures.SCORE)
    (('average_fps', 'low_1pct'), ('score',))
    """
    of_score = measures is Measures.SCORE
    return tuple(key for key, d in DEFINITIONS.items() if d.rankable and (key == SCORE) == of_score)


def _of_test(test: Test, at: int) -> Iterator[Problem]:
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
    yield Problem(path=("tests", at, where), found=said, todo=nearest(key, known))


def _why(key: str) -> str:
    try:
        found = definition(key)
    except NotFound:
        return "no number is defined so"
    if not found.rankable:
        return f"{found.label} is shown, but may enter no finding"
    return "that is the number of a score" if key == SCORE else "that is a number of frames"


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
