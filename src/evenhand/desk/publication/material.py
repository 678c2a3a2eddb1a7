"""What a study holds for those who write about it, off the record as it stands."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from itertools import product

from evenhand.desk.comparison.charting import average_of, over_tests
from evenhand.desk.comparison.findings_now import cells_now, comparison_now
from evenhand.desk.comparison.other_evidence import other_evidence
from evenhand.desk.on_record import RunOnRecord, StudyOnRecord
from evenhand.desk.tuning.figured import figures_now
from evenhand.desk.tuning.held import held_now
from evenhand.desk.verdict.judged_for import judged_for
from evenhand.metrics.wall import WALL_KEYS
from evenhand.prose.material import Material, Place
from evenhand.publish.direction import isolated
from evenhand.publish.names import Names
from evenhand.records.estimates import Estimate
from evenhand.records.runs import RunState
from evenhand.records.tests import Measures, Test
from evenhand.store.workbench import Workbench
from evenhand.verdicts.weighed_metrics import LOW_METRIC

MOST_NAMED = 5  # runs


def material_of(wb: Workbench, record: StudyOnRecord) -> Material:
    """All that may be quoted of a study today."""
    judgement, other = judged_for(wb, record), other_evidence(wb, record)
    told = [each for each in judgement.audiences if not each.stand_in]
    return Material(
        comparison=comparison_now(record), names=judgement.names, cells=cells_now(record),
        rates=rates_on_record(record), averages={t.key: average_of(t) for t in record.compared_tests},
        audiences={each.audience.key: isolated(each.audience.name) for each in told},
        verdicts=tuple(verdict for each in told for verdict in each.verdicts),
        chances={
            (each.audience.key, *pair): chance
            for each in told for pair, chance in each.wobbles.items() if chance is not None
        },
        prices=judgement.paid.by_setup, currency=judgement.paid.currency,
        gaps=other.gaps, power=other.power.findings, called=called_by_build(record),
        without=cells_without(record, judgement.names), held=held_now(wb, record),
        figured=figures_now(wb, record),
    )  # fmt: skip


def cells_without(record: StudyOnRecord, names: Names) -> dict[tuple[str, str], str]:
    """Of which tests and setups no run counts, and why: set aside, replaced, in doubt, or never there."""
    found: dict[tuple[str, str], str] = {}
    for test, setup in product(record.study.tests, record.study.setups):
        own = record.cell(test, setup)
        if not any(each.state.counts for each in own):
            where = f"{names.setup(setup)} in {names.test(test)}"
            found[test, setup] = why_without(own, where)
    return found


def why_without(runs: Sequence[RunOnRecord], where: str) -> str:
    """Why none of these runs counts, in words."""
    if not runs:
        return f"no run of {where} is on record"
    doubted = [each.run.label for each in runs if each.state is RunState.IN_DOUBT]
    aside = [each.run.label for each in runs if each.state is not RunState.IN_DOUBT]
    told = [(aside, "its runs are set aside"), (doubted, "its runs are in doubt")]
    return ", and ".join(f"{words}: {_few(labels)}" for labels, words in told if labels)


def _few(labels: Sequence[str]) -> str:
    """The first of many names, which have commas of their own, and how many more there are."""
    more = len(labels) - MOST_NAMED
    return "; ".join(labels[:MOST_NAMED]) + (f"; and {more} more" if more > 0 else "")


def called_by_build(record: StudyOnRecord) -> dict[str, str]:
    """Setups by the keys of their builds, where a build is compared in one state only."""
    by_build: dict[str, list[str]] = {}
    for key in record.study.setups:
        by_build.setdefault(record.setups[key].build, []).append(key)
    return {build: own[0] for build, own in by_build.items() if len(own) == 1}


def rates_on_record(record: StudyOnRecord) -> dict[Place, Estimate]:
    """Each setup's own numbers: the average of a test, its 1% low, and what a meter at the wall said."""
    frames = {test.key for test in record.compared_tests if test.measures is Measures.FRAMES}

    def low(test: Test) -> str | None:
        return LOW_METRIC if test.key in frames else None

    found: dict[Place, Estimate] = {}
    for (test, setup), estimate in over_tests(record, average_of).items():
        found[test, setup, average_of(record.tests[test])] = estimate
    for (test, setup), estimate in over_tests(record, low).items():
        found[test, setup, LOW_METRIC] = estimate
    for metric, unit in zip(WALL_KEYS, ("W", "J"), strict=True):
        for (test, setup), estimate in over_tests(record, always(metric)).items():
            found[test, setup, metric] = replace(estimate, unit=unit)
    return found


def always(metric: str) -> Callable[[Test], str]:
    """The same number of every test."""
    return lambda _: metric
