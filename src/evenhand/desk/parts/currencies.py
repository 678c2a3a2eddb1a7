"""The currencies that amounts on the workbench are in, and which one a symbol means."""

from __future__ import annotations

from collections.abc import Sequence

from evenhand.desk.study.checking import FieldProblem
from evenhand.desk.study.used_by import users_of
from evenhand.records.builds import Part
from evenhand.records.prices import Currency
from evenhand.records.studies import Study
from evenhand.store import shelves
from evenhand.store.currencies import currencies
from evenhand.store.workbench import Workbench

MOST_DECIMALS = 4


def known_currencies(wb: Workbench, first: Currency | None = None) -> tuple[Currency, ...]:
    """Every currency of studies and amounts, each symbol once: `first`, those of studies, then others."""
    said = [study.currency for study in shelves.every(wb, Study) if study.currency is not None]
    found: dict[str, Currency] = {}
    for each in (*((first,) if first else ()), *said, *currencies(wb)):
        found.setdefault(each.symbol, each)
    return tuple(found.values())


def currency_of_part(wb: Workbench, part: Part) -> Currency | None:
    """The currency that the studies of a part count in, or else all studies; None where that is not one."""
    studies = users_of(wb, part) or shelves.every(wb, Study)
    said = {study.currency for study in studies if study.currency is not None}
    return said.pop() if len(said) == 1 else None


def currency_of_all(wb: Workbench) -> Currency | None:
    """The currency that all studies count in; None where that is not one."""
    said = {study.currency for study in shelves.every(wb, Study) if study.currency is not None}
    return said.pop() if len(said) == 1 else None


def currency_called(
    symbol: str, known: Sequence[Currency], *, decimals: str = "", field: str = "currency"
) -> Currency | FieldProblem:
    """The currency of this symbol: one that is known, or a new one with its decimals."""
    found = next((each for each in known if each.symbol.casefold() == symbol.casefold()), None)
    if found is not None:
        if decimals and decimals != str(found.decimals):
            has = f"{found.symbol} has {found.decimals} decimals on this workbench"
            return FieldProblem(field="decimals", found=has, todo="leave them out")
        return found
    if not 0 < len(symbol) <= 8 or any(c.isdigit() or c.isspace() or c in ".," for c in symbol):
        todo = "write a sign of up to eight signs, none of them a digit"
        return FieldProblem(field=field, found=f"'{symbol}' is no currency", todo=todo)
    if not (decimals.isascii() and decimals.isdigit() and int(decimals) <= MOST_DECIMALS):
        said = f"'{decimals}' is no number of decimals" if decimals else f"{symbol} is new here"
        todo = f"say how many decimals its smallest unit has, 0 to {MOST_DECIMALS}"
        return FieldProblem(field="decimals", found=said, todo=todo)
    return Currency(symbol=symbol, decimals=int(decimals))
