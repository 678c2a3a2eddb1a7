"""An audience's weights, laid upon what was measured; what they ask for and nobody measured is told."""

from __future__ import annotations

import math
from collections.abc import Collection, Hashable, Mapping, Sequence
from dataclasses import dataclass
from typing import TypeVar

import numpy as np

from evenhand.errors import BadRecord
from evenhand.records.audiences import Audience, Property
from evenhand.records.studies import Study
from evenhand.records.tests import Measures, Test
from evenhand.stats.spread import Floats
from evenhand.verdicts.grounds import PairGrounds

K = TypeVar("K", bound=Hashable)

OF_THE_PAIR = (Property.NOISE, Property.PRICE)


@dataclass(frozen=True, slots=True, kw_only=True)
class Laid:
    """Shares over the columns of a pair, shape (C,), and what was asked for beyond them.

    `missing` are properties of tests (test, property) that carry a weight and have no number, with their
    share of the whole; `weights` sum to 1 less those shares.
    """

    weights: Floats
    missing: Mapping[tuple[str, Property], float]

    @property
    def missing_share(self) -> float:
        """How much of the whole weight stands on nothing, 0 to 1."""
        return sum(self.missing.values())


def lay_weights(audience: Audience, grounds: PairGrounds, *, study: Study, tests: Sequence[Test]) -> Laid:
    """The audience's shares over the columns of a pair.

    A test has its own share, else its part of its group's by the study's weights. Properties share out each
    test's weight; those of the whole pair, noise and price, take theirs once. A test without frames has no
    lows: that share goes to its speed. Raises BadRecord as `shares_of_tests`.
    """
    shares = shares_of_tests(audience, study=study, tests=tests)
    measures = {test.key: test.measures for test in tests}
    properties = shares_of_properties(audience)
    weights, missing = np.zeros(len(grounds.grounds)), {}
    for (test, asked), share in _wanted(shares, properties, measures).items():
        at = grounds.place(asked, test)
        if at is None:
            missing[test, asked] = share
        else:
            weights[at] += share
    return Laid(weights=weights, missing=missing)


def _wanted(
    tests: Mapping[str, float], properties: Mapping[Property, float], measures: Mapping[str, Measures]
) -> dict[tuple[str, Property], float]:
    """The share of each property of each test; those of the whole pair stand under the test ""."""
    found: dict[tuple[str, Property], float] = {}
    for asked, share in properties.items():
        if asked in OF_THE_PAIR:
            found["", asked] = share
            continue
        for test, of_test in tests.items():
            lows_of_score = asked is Property.LOWS and measures.get(test) is Measures.SCORE
            place = (test, Property.SPEED if lows_of_score else asked)
            found[place] = found.get(place, 0.0) + share * of_test
    return {place: share for place, share in found.items() if share > 0}


def shares_of_tests(audience: Audience, *, study: Study, tests: Sequence[Test]) -> dict[str, float]:
    """The share of each test in an audience's weight; they sum to 1.

    Raises BadRecord where a weight is negative, all are 0, or one names a test or group that the study has
    not.
    """
    of_study = {test.key: test for test in tests if test.key in study.tests}
    _check(audience.groups, {t.group for t in of_study.values() if t.group}, "group", audience)
    _check(audience.tests, of_study, "test", audience)
    raw = dict(audience.tests)
    for group, share in audience.groups.items():
        members = {
            key: study.weights.get(key, 1.0)
            for key, test in of_study.items()
            if test.group == group and key not in audience.tests
        }
        total = sum(members.values())
        if share > 0 and not total > 0:
            raise BadRecord(
                f"no test of the group {group} is left to carry its share", where=f"audience {audience.key}",
                todo="give the group 0, or one of its tests a weight in the study",
            )  # fmt: skip
        raw |= {key: share * weight / total for key, weight in members.items() if share > 0}
    return _shares(raw, audience)


def shares_of_properties(audience: Audience) -> dict[Property, float]:
    """The share of each property in an audience's weight; they sum to 1. Raises BadRecord."""
    return _shares(dict(audience.properties), audience)


def _shares(raw: Mapping[K, float], audience: Audience) -> dict[K, float]:
    total = sum(raw.values())
    if not total > 0:
        raise BadRecord(
            "all weights are 0, or none is given", where=f"audience {audience.key}",
            todo="give one test, group or property a weight above 0",
        )  # fmt: skip
    return {key: weight / total for key, weight in raw.items()}


def _check(weights: Mapping[str, float], known: Collection[str], what: str, audience: Audience) -> None:
    where = f"audience {audience.key}"
    bad = [f"{key} = {w:g}" for key, w in weights.items() if not (math.isfinite(w) and w >= 0)]
    if bad:
        raise BadRecord(f"a weight must be 0 or more: {', '.join(bad)}", where=where, todo="correct it")
    strange = sorted(set(weights) - set(known))
    if strange:
        raise BadRecord(
            f"the study has no {what} {', '.join(strange)}", where=where,
            todo=f"name one of {', '.join(sorted(known)) or 'none: it has no ' + what + 's'}",
        )  # fmt: skip
