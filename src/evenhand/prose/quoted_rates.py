"""Each setup's own numbers, as figures that prose may quote."""

from __future__ import annotations

from collections.abc import Iterator

from evenhand.metrics.definitions import definition
from evenhand.prose.material import Material, Place
from evenhand.prose.quotable import Quotable, Sort
from evenhand.publish.numbers import counted, level_words, with_unit
from evenhand.publish.spans import span_of
from evenhand.records.estimates import Estimate
from evenhand.verdicts.weighed_metrics import LOW_METRIC


def rates(material: Material) -> Iterator[Quotable]:
    """What a setup reached in a test: its average ("rate of …"), and its 1% low ("low of …")."""
    for (test, setup, metric), estimate in material.rates.items():
        if metric == LOW_METRIC:
            yield own_number(material, (test, setup, metric), estimate, Sort.LOW)
        if metric == material.averages.get(test):
            yield own_number(material, (test, setup, metric), estimate, Sort.RATE)


def own_number(material: Material, place: Place, estimate: Estimate, sort: Sort) -> Quotable:
    """One setup's own number in one test, with the interval that its repeats give it."""
    test, setup, metric = place
    meant, span, names = definition(metric), span_of(estimate), material.names
    return Quotable(
        address=f"{sort} of {setup} in {test}", sort=sort, value=estimate.value, unit=estimate.unit,
        low=estimate.low, high=estimate.high, level=estimate.level, n=estimate.n,
        words=with_unit(span.digits(), estimate.unit), ranged=span.words(estimate.unit),
        definition=f"{meant.label}: {meant.meaning}",
        source=f"{names.setup(setup)} in {names.test(test)}: {meant.label}, {_from(estimate)}",
        setups=(setup,), tests=(test,), metric=metric,
    )  # fmt: skip


def _from(estimate: Estimate) -> str:
    runs = counted(estimate.n, "run")
    return runs if estimate.low is None else f"{runs}, {level_words(estimate.level)} interval"
