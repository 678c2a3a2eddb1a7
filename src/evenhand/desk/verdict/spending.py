"""What a budget in a question leaves: which setups lie within it, each with its price and the day of it."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from evenhand.prose.budgets import Budget, Sum
from evenhand.prose.ground import Ground
from evenhand.publish.dates import day_words
from evenhand.publish.money_words import amount
from evenhand.publish.numbers import capital, listed
from evenhand.records.prices import Price


@dataclass(frozen=True, slots=True, kw_only=True)
class Spending:
    """What follows from a budget, in words, and the setups within it, None where it leaves out none."""

    words: tuple[str, ...] = ()
    within: tuple[str, ...] | None = None


def spending(budget: Budget | None, setups: tuple[str, ...], ground: Ground) -> Spending:
    """What a budget leaves of these setups."""
    if budget is None:
        return Spending()
    if ground.currency is None or not any(setup in ground.prices for setup in setups):
        return Spending(words=("No price is on record, so that a budget leaves out none of them.",))
    if budget.sort is Sum.FOREIGN:
        symbol = ground.currency.symbol
        return Spending(
            words=(f"Prices are on record in {symbol} only: a sum in another currency leaves out nothing.",)
        )
    if budget.sort is Sum.NOTHING:
        return Spending(words=("A budget is more than nothing: this one leaves out none of them.",))
    most = round(budget.most * 10**ground.currency.decimals)
    priced = {setup: ground.prices[setup] for setup in setups if setup in ground.prices}
    within = tuple(setup for setup, price in priced.items() if price.minor <= most)
    words = (_left(within, priced, most, ground), *_each(setups, most, ground))
    return Spending(words=words, within=within)


def _left(within: tuple[str, ...], priced: Mapping[str, Price], most: int, ground: Ground) -> str:
    """What is left, in a sentence."""
    currency = next(iter(priced.values())).currency
    sum_ = amount(most, currency)
    if not within:
        least = min(priced, key=lambda setup: priced[setup].minor)
        return f"None of them is within {sum_}: nearest is {_paid(least, priced, ground)}."
    if len(within) < len(priced):
        return (
            f"Within {sum_} {'only ' if len(within) == 1 else ''}{_names(within, ground)} {_is(within)} left."
        )
    return f"{capital(_names(within, ground))} {_is(within)} within {sum_}."


def _is(setups: tuple[str, ...]) -> str:
    return "is" if len(setups) == 1 else "are"


def _names(setups: tuple[str, ...], ground: Ground) -> str:
    return listed(tuple(ground.names.setup(each) for each in setups))


def _paid(setup: str, priced: Mapping[str, Price], ground: Ground) -> str:
    price = priced[setup]
    return f"{ground.names.setup(setup)}, {amount(price.minor, price.currency)} on {day_words(price.on)}"


def _each(setups: tuple[str, ...], most: int, ground: Ground) -> Iterator[str]:
    """Each setup with its price and the day of it."""
    for setup in setups:
        price, name = ground.prices.get(setup), ground.names.setup(setup)
        if price is None:
            yield f"{name}: no price is on record."
            continue
        how = "within" if price.minor <= most else "above"
        yield (
            f"{name}: {amount(price.minor, price.currency)} on {day_words(price.on)}, "
            f"{how} {amount(most, price.currency)}."
        )
