"""The part of the money page on what is assumed: told in a list, and changed in a form."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from evenhand.money.owning import lost_of
from evenhand.publish.money_words import amount
from evenhand.publish.numbers import counted, number, with_unit
from evenhand.publish.owning_words import years_words
from evenhand.records.money_terms import MoneyTerms, Span
from evenhand.records.prices import Currency
from evenhand.records.studies import Study


@dataclass(frozen=True, slots=True, kw_only=True)
class TermsPart:
    """What is assumed, line by line; `usual` says that nobody has said it. `unit` is the currency's sign."""

    heading: str
    usual: str
    lines: tuple[tuple[str, str], ...]
    unit: str


def terms_part(study: Study) -> TermsPart:
    """The terms of a study, or those that stand in."""
    said = study.money is not None
    return TermsPart(
        heading="What is assumed of money",
        usual="" if said else "Nobody has said these yet: they stand in until you do.",
        lines=tuple(_lines(study.money or MoneyTerms(), study.currency)),
        unit=study.currency.symbol if study.currency else "",
    )


def _lines(terms: MoneyTerms, currency: Currency | None) -> Iterator[tuple[str, str]]:
    yield "A machine is kept", years_words(terms.years)
    yield "Sold at once it would fetch", f"{_shares(terms.resale)} of its price"
    lost = lost_of(terms.fall[0]), lost_of(terms.fall[1])
    yield "Of that it loses", f"{_shares(lost)} a year"
    if currency is not None:
        if terms.repairs_minor:
            yield "Set aside for repairs", f"{amount(terms.repairs_minor, currency)} a year"
        if terms.budget_minor:
            yield "A machine may cost", amount(terms.budget_minor, currency)
        if terms.cash_minor or terms.saved_minor:
            first, more = amount(terms.cash_minor, currency), amount(terms.saved_minor, currency)
            yield "There for changes", f"{first} today, {more} more each month"
    yield "Changes are looked for over", counted(terms.horizon_months, "month")


def _shares(span: Span) -> str:
    low, high = (number(100 * end, 1).removesuffix(".0") for end in span)
    return with_unit(low if low == high else f"{low} to {high}", "%")
