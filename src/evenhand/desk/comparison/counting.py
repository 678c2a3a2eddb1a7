"""What the runs that count show of one test on one setup."""

from __future__ import annotations

from collections.abc import Iterator

from evenhand.desk.on_record import RunOnRecord
from evenhand.findings.finding import Observation
from evenhand.metrics.definitions import definition
from evenhand.records.tests import Test


def better_of(test: Test, metric: str) -> str:
    """Which way a metric is better: the test says it of its headline, the definition of any other."""
    return test.direction.value if metric == test.metric else definition(metric).better


def observations(runs: tuple[RunOnRecord, ...], metric: str) -> Iterator[Observation]:
    """The numbers of the runs that count and carry the metric."""
    for each in runs:
        if each.state.counts and metric in each.metrics.values:
            yield observation(each, metric)


def observation(each: RunOnRecord, metric: str) -> Observation:
    """One run's number, with its place in the bench day."""
    found = each.seen.get(metric)
    if found is None:
        found = each.seen[metric] = Observation(
            run=each.run.id, value=each.metrics.values[metric], boot=each.run.boot, order=each.run.order,
            ambient_c=each.run.ambient_c,
        )  # fmt: skip
    return found
