"""What past runs teach about a test: shown, lent to triage, forgotten on request."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime

from evenhand.desk.opening import CODE_VERSION
from evenhand.errors import NotFound, nearest
from evenhand.records.tests import Test
from evenhand.store import lessons, shelves
from evenhand.store.lessons import Kept
from evenhand.store.workbench import Workbench
from evenhand.triage.learned import Learned
from evenhand.triage.lessons import FIGURES, Lesson, Sum, learned_from
from evenhand.triage.thresholds import DEFAULT


@dataclass(frozen=True, slots=True, kw_only=True)
class TestLearned:
    """One test with what its past runs teach together, and the studies that taught it."""

    __test__ = False  # tells pytest that this is not a test of ours

    test: Test
    learned: Learned
    studies: tuple[Kept, ...]


def learned_before(wb: Workbench, study: str) -> Mapping[str, Learned]:
    """What all other studies teach, by test key: a study never vouches for its own runs."""
    by_test: dict[str, list[Kept]] = {}
    for kept in lessons.all_lessons(wb):
        if kept.study != study:
            by_test.setdefault(kept.test, []).append(kept)
    return {test: _together(known) for test, known in by_test.items()}


def keep_lessons(wb: Workbench, study: str, test: str, taught: Sequence[Lesson], *, now: datetime) -> None:
    """Keep what the cells of one test of a study teach, in the place of what they taught before."""
    total = sum(taught, Lesson())
    figures = {name: (getattr(total, name).total, getattr(total, name).weight) for name in FIGURES}
    lessons.save_lesson(
        wb,
        Kept(study=study, test=test, runs=total.runs, figures=figures, counts=True, at=now),
        code_version=CODE_VERSION,
    )


def what_is_learned(wb: Workbench, test: str | None = None) -> tuple[TestLearned, ...]:
    """What is known of each test, or of one. Raises NotFound with the nearest test known."""
    known = lessons.all_lessons(wb) if test is None else _about(wb, test)
    by_test: dict[str, list[Kept]] = {}
    for kept in known:
        if kept.runs:
            by_test.setdefault(kept.test, []).append(kept)
    return tuple(
        TestLearned(test=shelves.one(wb, Test, key), learned=_together(own), studies=tuple(own))
        for key, own in by_test.items()
    )


def let_count(
    wb: Workbench, test: str, *, study: str | None = None, counts: bool, now: datetime
) -> tuple[Kept, ...]:
    """Let what is known of a test count from now on, or not; of one study or of all. What was changed.

    Nothing is deleted, and the choice stays on record. Raises NotFound where the study teaches nothing.
    """
    known = _about(wb, test)
    chosen = [kept for kept in known if study in (None, kept.study)]
    if study is not None and not chosen:
        raise NotFound(
            f"the study '{study}' teaches nothing about '{test}'",
            where=str(wb.path),
            todo=nearest(study, [kept.study for kept in known]),
        )
    changed = tuple(kept for kept in chosen if kept.counts is not counts)
    with wb.writing():
        for kept in changed:
            lessons.choose(wb, test, kept.study, counts=counts, now=now)
    return changed


def _about(wb: Workbench, test: str) -> tuple[Kept, ...]:
    shelves.one(wb, Test, test)
    return lessons.lessons_about(wb, test)


def _together(known: Sequence[Kept]) -> Learned:
    return learned_from([_lesson(kept) for kept in known if kept.counts], DEFAULT.learning)


def _lesson(kept: Kept) -> Lesson:
    sums = {name: Sum(total=a, weight=b) for name, (a, b) in kept.figures.items() if name in FIGURES}
    return Lesson(runs=kept.runs, **sums)
