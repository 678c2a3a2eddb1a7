"""What everything said of money stands on: prices, differences, watts, and how a machine is kept."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from evenhand.desk.comparison.charting import over_tests
from evenhand.desk.on_record import StudyOnRecord
from evenhand.desk.verdict.judged import ForAudience, Judgement
from evenhand.errors import BadRecord
from evenhand.metrics.wall import WALL_POWER
from evenhand.money.owning import Keeping
from evenhand.money.running import mean_watts
from evenhand.money.value import Edge, Stand, edge_of, stand
from evenhand.publish.names import Names
from evenhand.records.money_terms import MoneyTerms, Span
from evenhand.records.prices import Currency
from evenhand.verdicts.weights import named_parts, shares_of_tests

PairKeys = tuple[str, str]


@dataclass(frozen=True, slots=True, kw_only=True)
class Tried:
    """What is tried on in place of what is on record: prices by setup and a tariff in minor units, hours,
    years. What is None or not there stays as it is.
    """

    prices: Mapping[str, int] = field(default_factory=dict)
    hours: Span | None = None
    tariff: Span | None = None
    years: float | None = None


NOTHING = Tried()


@dataclass(frozen=True, slots=True, kw_only=True)
class MoneyGround:
    """One audience of a study: `prices` by setup in minor units, as they are or as they are tried on.

    `watts` are the mean at the wall over what the audience weighs, empty where not every setup was read.
    `edges` say by pair how much better one is. `terms` are assumed where nobody has `said` them.
    """

    record: StudyOnRecord
    judgement: Judgement
    here: ForAudience
    currency: Currency
    prices: Mapping[str, int]
    watts: Mapping[str, float]
    edges: Mapping[PairKeys, Edge]
    terms: MoneyTerms
    said: bool
    kept: Keeping

    @property
    def names(self) -> Names:
        """What all is called."""
        return self.judgement.names

    @property
    def fixed_minor(self) -> int:
        """What this audience must buy with any of them."""
        return self.here.audience.fixed_minor

    @property
    def margin(self) -> float:
        """The smallest difference that matters, as a share."""
        return self.record.study.margin

    @property
    def priced(self) -> tuple[str, ...]:
        """The setups that have a price, in the study's order."""
        return tuple(setup for setup in self.record.study.setups if setup in self.prices)

    def edge(self, a: str, b: str) -> Edge | None:
        """How much better a is than b, seen from either side; None where nothing is said of value."""
        if (a, b) in self.edges:
            return self.edges[a, b]
        found = self.edges.get((b, a))
        return None if found is None else found.other_way

    def stand(self, a: str, b: str) -> Stand:
        """How the two stand by value at these prices."""
        edge = self.edges.get((a, b))
        if edge is None:
            return Stand.UNKNOWN
        return stand(
            self.prices[a], self.prices[b], edge, margin=self.margin, fixed_minor=self.fixed_minor
        )  # fmt: skip


def ground_for(
    record: StudyOnRecord, judgement: Judgement, here: ForAudience, tried: Tried = NOTHING
) -> MoneyGround | None:
    """The ground of one audience; None where the study says no currency, or fewer than two have a price."""
    currency, today = judgement.paid.currency, judgement.paid.minor
    if currency is None or len(today) < 2:
        return None
    terms = record.study.money or MoneyTerms()
    return MoneyGround(
        record=record, judgement=judgement, here=here, currency=currency,
        prices={setup: tried.prices.get(setup, minor) for setup, minor in today.items()},
        watts=watts_for(record, here), edges=edges_of(here), terms=terms,
        said=record.study.money is not None, kept=keeping(terms, here, tried),
    )  # fmt: skip


def keeping(terms: MoneyTerms, here: ForAudience, tried: Tried = NOTHING) -> Keeping:
    """How an audience keeps a machine, as it is on record or as it is tried on."""
    told = here.audience.tariff_minor
    tariff = None if told is None else (float(told[0]), float(told[1]))
    return Keeping(
        years=tried.years or terms.years, repairs_minor=terms.repairs_minor, resale=terms.resale,
        fall=terms.fall, hours=tried.hours or here.audience.hours_a_year, tariff=tried.tariff or tariff,
    )  # fmt: skip


def edges_of(here: ForAudience) -> Mapping[PairKeys, Edge]:
    """How much better one is than the other, of each pair of which a break-even is known."""
    fixed = here.audience.fixed_minor
    return {
        (each.a, each.b): edge_of(each.break_even, each.prices[1], fixed_minor=fixed)
        for each in here.verdicts
        if each.break_even is not None and each.prices is not None
    }


def watts_for(record: StudyOnRecord, here: ForAudience) -> Mapping[str, float]:
    """Watts at the wall by setup, the mean over the tests that the audience weighs; empty where one lacks."""
    by_test: dict[str, dict[str, float]] = {}
    for (test, setup), estimate in over_tests(record, lambda _: WALL_POWER).items():
        by_test.setdefault(test, {})[setup] = estimate.value
    try:
        parts = named_parts(here.audience, study=record.study, tests=record.compared_tests)
    except BadRecord:
        return {}
    found = mean_watts(by_test, shares_of_tests(parts))
    return found if set(found) == set(record.study.setups) else {}
