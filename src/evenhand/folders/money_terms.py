"""What a study assumes of money: as the table `[study.money]` of its file, and back."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Annotated, Any

from pydantic import Field

from evenhand.errors import BadRecord
from evenhand.folders.lines import Path
from evenhand.folders.problems import Problem
from evenhand.folders.table import Table
from evenhand.folders.worth import BACKWARDS, FORWARDS, amount_problems
from evenhand.folders.worth_tables import Amount
from evenhand.records.amounts import minor_of, plain_amount
from evenhand.records.money_terms import MoneyTerms
from evenhand.records.prices import Currency

Share = Annotated[float, Field(ge=0, le=1)]
Fall = Annotated[float, Field(ge=0, le=5)]
AMOUNTS = ("repairs", "cash", "saved", "budget")
SPANS = ("resale", "fall")
USUAL = MoneyTerms()


class MoneyTable(Table):
    """[study.money]: how long a machine is kept, what it fetches, what is saved."""

    years: Annotated[float, Field(gt=0, le=20)] = USUAL.years
    repairs: Amount | None = None
    resale: Annotated[list[Share], Field(min_length=2, max_length=2)] = Field(
        default_factory=lambda: list(USUAL.resale)
    )
    fall: Annotated[list[Fall], Field(min_length=2, max_length=2)] = Field(
        default_factory=lambda: list(USUAL.fall)
    )
    horizon_months: Annotated[int, Field(ge=1, le=240)] = USUAL.horizon_months
    cash: Amount | None = None
    saved: Amount | None = None
    budget: Amount | None = None


def money_of(table: MoneyTable | None, currency: Currency | None) -> MoneyTerms | None:
    """The terms; an amount that cannot be read is none and left to `money_problems`."""
    if table is None:
        return None
    minor = {name: _minor(getattr(table, name), currency) for name in AMOUNTS}
    return MoneyTerms(
        years=table.years, repairs_minor=minor["repairs"] or 0, resale=(table.resale[0], table.resale[1]),
        fall=(table.fall[0], table.fall[1]), horizon_months=table.horizon_months,
        cash_minor=minor["cash"] or 0, saved_minor=minor["saved"] or 0, budget_minor=minor["budget"],
    )  # fmt: skip


def _minor(written: str | None, currency: Currency | None) -> int | None:
    try:
        return None if written is None or currency is None else minor_of(written, currency)
    except BadRecord:
        return None


def money_problems(
    table: MoneyTable | None, currency: Currency | None, *, path: Path = ("study",)
) -> Iterator[Problem]:
    """What is wrong with the terms by themselves: spans from high to low, amounts of no currency."""
    if table is None:
        return
    for name in SPANS:
        low, high = getattr(table, name)
        if low > high:
            yield Problem(path=(*path, "money", name), found=BACKWARDS, todo=FORWARDS)
    for name in AMOUNTS:
        written = getattr(table, name)
        if written is not None:
            yield from amount_problems(written, currency, (*path, "money", name))


def money_table(terms: MoneyTerms, currency: Currency | None) -> dict[str, Any]:
    """The terms as a table; amounts of nothing are left out."""
    minor = {
        "repairs": terms.repairs_minor, "cash": terms.cash_minor, "saved": terms.saved_minor,
        "budget": terms.budget_minor,
    }  # fmt: skip
    amounts = {name: plain_amount(each, currency) for name, each in minor.items() if each and currency}
    return {
        "years": terms.years, "resale": list(terms.resale), "fall": list(terms.fall),
        "horizon_months": terms.horizon_months,
    } | amounts  # fmt: skip
