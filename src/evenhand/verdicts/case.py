"""Everything a verdict for one audience hangs on, so that any of it can be changed and asked again."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from evenhand.findings.finding import Caveat
from evenhand.records.audiences import Audience
from evenhand.records.studies import Study
from evenhand.records.tests import Test
from evenhand.verdicts.grounds import PairGrounds


@dataclass(frozen=True, slots=True, kw_only=True)
class Case:
    """An audience before the pairs of a study. `prices` are minor units by setup; no price, no value.

    The margin and the study's own weights, which share out groups, are those of `study`. `known` is what is
    to be known of the two machines of a pair themselves, whatever was measured on them. `states` are pairs
    that are one build, tuned and at stock, bought once: with what is said in the place of value.
    """

    audience: Audience
    study: Study
    tests: tuple[Test, ...]
    pairs: tuple[PairGrounds, ...]
    prices: Mapping[str, int] = field(default_factory=dict)
    known: Mapping[tuple[str, str], tuple[Caveat, ...]] = field(default_factory=dict)
    states: Mapping[tuple[str, str], str] = field(default_factory=dict)
