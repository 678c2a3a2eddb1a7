"""A run that is held for its course is not accused a second time of the level which that course gives it."""

from __future__ import annotations

from collections.abc import Sequence

import pytest
from tests.triage.cells import judge, run
from tests.triage.scenes import Floats, Slower, scene_take, seen, window

from evenhand.records.faults import Severity
from evenhand.triage.course_and_level import course_explains
from evenhand.triage.kinds.course import course_of_run

SPOILT: dict[str, Slower] = {
    "slow-sag": lambda at_s: 0.12 * ((at_s / 60 - 0.25) / 0.2).clip(0, 1),
    "slow-stretch": window(15, 42, 0.12),
}


def cell_of(slower: Slower, level: float = 0.0) -> tuple[Floats, ...]:
    """A take that is spoilt, and slower or quicker all along; then four good ones, each at its own level."""
    own = (level, 0.004, -0.006, 0.003, -0.002)
    return tuple(
        scene_take(i, seconds=60.0, slower=lambda at_s, i=i: own[i - 1] + (slower(at_s) if i == 1 else 0.0))  # type: ignore[misc]
        for i in range(1, 6)
    )


def held_for(takes: Sequence[Floats]) -> set[str]:
    """The kinds that hold the first of these."""
    faults = judge(tuple(run(str(i), times) for i, times in enumerate(takes, 1)))["1"]
    return {f.kind for f in faults if f.severity is not Severity.NOTE}


@pytest.mark.parametrize("kind", sorted(SPOILT))
def test_the_course_alone_is_told_where_the_rest_of_the_run_is_on_the_level(kind: str) -> None:
    assert held_for(cell_of(SPOILT[kind])) == {kind}


@pytest.mark.parametrize("kind", sorted(SPOILT))
def test_a_run_that_is_slower_outside_of_it_as_well_is_told_for_both(kind: str) -> None:
    assert held_for(cell_of(SPOILT[kind], level=0.14)) == {kind, "odd-level"}


def test_nothing_is_explained_in_a_run_whose_course_is_not_held() -> None:
    view = seen(tuple(run(str(i), times) for i, times in enumerate(cell_of(SPOILT["slow-sag"]), 1)))
    first, *others = view.runs
    assert not course_explains(first, others, -0.08, view)
    assert course_explains(first, others, -0.08, view.with_found(list(course_of_run(view))))


def test_without_siblings_to_lay_it_over_nothing_is_explained() -> None:
    view = seen((run("1", cell_of(SPOILT["slow-sag"])[0]),))
    assert not course_explains(view.runs[0], [], -0.08, view)
