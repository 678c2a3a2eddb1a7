"""Metrics that the script speaks of before it says what they are."""

from __future__ import annotations

from collections.abc import Iterator

from evenhand.metrics.definitions import definition
from evenhand.prose.objection import Objection, Rule
from evenhand.prose.reading import Reading
from evenhand.prose.rules import MetricRule
from evenhand.prose.scopes import quoted_in
from evenhand.prose.spoken import place_of


def undefined(reading: Reading, known: set[str]) -> Iterator[Objection]:
    """Metrics named for the first time without a meaning; each is put to those that are known."""
    text = reading.sentence.text
    for metric in reading.rules.metrics:
        found = metric.pattern.search(text)
        if found is None or metric.name in known:
            continue
        known.add(metric.name)
        if not _is_meant(metric, reading):
            yield _objection(metric, found.span(), reading)


def _is_meant(metric: MetricRule, reading: Reading) -> bool:
    """Whether the sentence says what the metric is, or tells a figure that carries its definition."""
    if reading.rules["defining.any"].search(reading.sentence.text):
        return True
    told = quoted_in(reading.sentence, (0, len(reading.sentence.text)), reading.ground)
    return any(q.sort.value in metric.sorts for q in told)


def _objection(metric: MetricRule, span: tuple[int, int], reading: Reading) -> Objection:
    place, excerpt = place_of(span, reading)
    meant = definition(metric.key)
    said = reading.rules.words("define", term=meant.label, meaning=meant.meaning)
    return Objection(
        rule=Rule.UNDEFINED, place=place, excerpt=excerpt,
        reason=reading.rules.words("undefined", term=metric.name), would_stand=said[:1].upper() + said[1:],
    )  # fmt: skip
