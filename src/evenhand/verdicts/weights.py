"""An audience's weights, laid upon what was measured; what they ask for and nobody measured is told."""

from __future__ import annotations

import math
from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from evenhand.errors import BadRecord
from evenhand.records.audiences import Audience, Property
from evenhand.records.studies import Study
from evenhand.records.tests import Measures, Test
from evenhand.stats.spread import Floats
from evenhand.verdicts.grounds import PairGrounds


@dataclass(frozen=True, slots=True, kw_only=True)
class Part:
    """One weight that the audience named, of a group or of a test: its share of the whole, over tests."""

    name: str
    share: float
    over: Mapping[str, float]


@dataclass(frozen=True, slots=True, kw_only=True)
class Laid:
    """Shares over the columns of a pair, shape (C,), of the price, and of what has no number.

    `missing` are properties of tests (test, property) that carry a weight and were not measured, with their
    share of the whole. All together sum to 1.
    """

    weights: Floats
    price: float
    missing: Mapping[tuple[str, Property], float]

    @property
    def missing_share(self) -> float:
        """How much of the whole weight stands on nothing, 0 to 1."""
        return sum(self.missing.values())


def lay_weights(audience: Audience, grounds: PairGrounds, *, study: Study, tests: Sequence[Test]) -> Laid:
    """The audience's shares over the columns of a pair. Raises BadRecord as `named_parts`."""
    shares = shares_of_tests(named_parts(audience, study=study, tests=tests))
    return lay_shares(shares, shares_of_properties(audience), grounds, tests=tests)


def lay_shares(
    shares: Mapping[str, float],
    properties: Mapping[Property, float],
    grounds: PairGrounds,
    *,
    tests: Sequence[Test],
) -> Laid:
    """Shares of tests and of properties over the columns of a pair.

    Properties share out each test's weight; noise, which is of the whole machine, and price take theirs
    once. A test without frames has no lows: that share goes to its speed.
    """
    measures = {test.key: test.measures for test in tests}
    places = {(ground.property, ground.test): i for i, ground in enumerate(grounds.grounds)}
    weights, missing = np.zeros(len(grounds.grounds)), {}
    for (test, asked), share in _wanted(shares, properties, measures).items():
        at = places.get((asked, test))
        if at is None:
            missing[test, asked] = share
        else:
            weights[at] += share
    return Laid(weights=weights, price=properties.get(Property.PRICE, 0.0), missing=missing)


def _wanted(
    tests: Mapping[str, float], properties: Mapping[Property, float], measures: Mapping[str, Measures]
) -> dict[tuple[str, Property], float]:
    """The share of each property of each test; that of the whole machine stands under the test ""."""
    found: dict[tuple[str, Property], float] = {}
    for asked, share in properties.items():
        if asked is Property.PRICE:
            continue
        if asked is Property.NOISE:
            found["", asked] = share
            continue
        for test, of_test in tests.items():
            lows_of_score = asked is Property.LOWS and measures.get(test) is Measures.SCORE
            place = (test, Property.SPEED if lows_of_score else asked)
            found[place] = found.get(place, 0.0) + share * of_test
    return {place: share for place, share in found.items() if share > 0}


def named_parts(audience: Audience, *, study: Study, tests: Sequence[Test]) -> tuple[Part, ...]:
    """What the audience weighs, as shares that sum to 1: its groups, then its single tests.

    A group is shared out among its tests by the study's weights, without those that have a share of their
    own. Raises BadRecord where the study has no test, a weight is negative, all are 0, one names a test or
    group that the study has not, or a group has no test to carry its share.
    """
    of_study = {test.key: test for test in tests if test.key in study.tests}
    if not of_study:
        raise BadRecord(
            "there is no test yet, so there is nothing to weigh", where=f"study {study.key}",
            todo="give the study a test on its brief, or bring a folder in whose study.toml has one",
        )  # fmt: skip
    _check(audience.groups, {t.group for t in of_study.values() if t.group}, "group", audience)
    _check(audience.tests, of_study, "test", audience)
    total = sum(audience.groups.values()) + sum(audience.tests.values())
    if not total > 0:
        raise _nothing_weighs(audience)
    groups = [
        Part(name=name, share=weight / total, over=_members(name, audience, study, of_study, weight=weight))
        for name, weight in audience.groups.items()
    ]
    single = [Part(name=key, share=weight / total, over={key: 1.0}) for key, weight in audience.tests.items()]
    return (*groups, *single)


def _members(
    group: str, audience: Audience, study: Study, tests: Mapping[str, Test], *, weight: float
) -> dict[str, float]:
    inside = {
        key: study.weights.get(key, 1.0)
        for key, test in tests.items()
        if test.group == group and key not in audience.tests
    }
    total = sum(inside.values())
    if weight > 0 and not total > 0:
        raise BadRecord(
            f"no test of the group {group} is left to carry its share", where=f"audience {audience.key}",
            todo="give the group 0, or one of its tests a weight in the study",
        )  # fmt: skip
    return {key: each / total for key, each in inside.items() if each > 0}


def shares_of_tests(parts: Sequence[Part]) -> dict[str, float]:
    """The share of each test; they sum to 1.

    >>> shares_of_tests([Part(name="games", share=0.8, over={"a": 0.5, "b": 0.5})])
    {'a': 0.4, 'b': 0.4}
    """
    found: dict[str, float] = {}
    for part in parts:
        for key, of_part in part.over.items():
            found[key] = found.get(key, 0.0) + part.share * of_part
    return {key: share for key, share in found.items() if share > 0}


def shares_of_properties(audience: Audience) -> dict[Property, float]:
    """The share of each property in an audience's weight; they sum to 1. Raises BadRecord."""
    named = {p.value: weight for p, weight in audience.properties.items()}
    _check(named, [p.value for p in Property], "property", audience)
    total = sum(audience.properties.values())
    if not total > 0:
        raise _nothing_weighs(audience)
    return {p: weight / total for p, weight in audience.properties.items()}


def _nothing_weighs(audience: Audience) -> BadRecord:
    return BadRecord(
        "all weights are 0, or none is given", where=f"audience {audience.key}",
        todo="give one test, group or property a weight above 0",
    )  # fmt: skip


def _check(weights: Mapping[str, float], known: Collection[str], what: str, audience: Audience) -> None:
    where = f"audience {audience.key}"
    bad = [f"{key} = {w:g}" for key, w in weights.items() if not (math.isfinite(w) and w >= 0)]
    if bad:
        raise BadRecord(f"a weight must be 0 or more: {', '.join(bad)}", where=where, todo="correct it")
    strange = sorted(set(weights) - set(known))
    if strange:
        raise BadRecord(
            f"the study has no {what} {', '.join(strange)}", where=where,
            todo=f"name one of {', '.join(sorted(known))}" if known else f"give a test of the study a {what}",
        )  # fmt: skip
