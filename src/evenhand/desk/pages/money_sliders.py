"""The sliders of the money page: prices, hours, tariff and years, and what was sent of them."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from evenhand.desk.money.basis import MoneyGround, Tried
from evenhand.desk.pages.money_owning import Moved
from evenhand.errors import BadRecord
from evenhand.money.owning import middle
from evenhand.publish.money_words import amount
from evenhand.publish.owning_words import hours_words, tariff_words, years_words
from evenhand.records.amounts import plain_amount
from evenhand.records.money_terms import Span
from evenhand.records.prices import Currency

PRICE = "price-"
MOST_YEARS, MOST_HOURS = 20.0, 8784.0
SHOWN_YEARS, SHOWN_HOURS, SHOWN_TARIFF = 10.0, 4000.0, 1.0  # how far a slider reaches, if it need not more
SHARE = 0.3  # of a price: how far its slider reaches to each side
WHOLE_FROM = 100  # of a currency: from here on prices move by one, below by the smallest unit


def sliders_of(ground: MoneyGround, moved: MoneyGround) -> tuple[Moved, ...]:
    """A slider for each price, the hours, the tariff and the years, where they stand now.

    One that stands in the middle of a span that is on record means the span.
    """
    return (*_prices(ground, moved), *_use(ground, moved), _years(ground, moved))


def _prices(ground: MoneyGround, moved: MoneyGround) -> Iterator[Moved]:
    currency = ground.currency
    for setup in ground.priced:
        minor, unit = ground.prices[setup], 10**currency.decimals
        step = unit if minor >= WHOLE_FROM * unit else 1
        reach = max(1, int(SHARE * minor / step)) * step
        low = minor - reach if minor > reach else minor % step or step
        yield Moved(
            name=f"{PRICE}{setup}", label=f"Price of {ground.names.setup(setup)}", setup=setup,
            value=plain_amount(moved.prices[setup], currency), plain=plain_amount(minor, currency),
            said=amount(moved.prices[setup], currency), plain_said=amount(minor, currency),
            low=plain_amount(low, currency), high=plain_amount(minor + reach, currency),
            step=plain_amount(step, currency),
        )  # fmt: skip


def _use(ground: MoneyGround, moved: MoneyGround) -> Iterator[Moved]:
    unit = 10**ground.currency.decimals
    spans: tuple[tuple[str, str, Span | None, Span | None, float, float], ...] = (
        ("hours", "Hours a year at this load", ground.kept.hours, moved.kept.hours, 1.0, SHOWN_HOURS),
        ("tariff", "A kilowatt-hour", ground.kept.tariff, moved.kept.tariff, float(unit), SHOWN_TARIFF),
    )
    for name, label, plain, now, each, most in spans:
        start, here = (middle(span) / each if span else 0.0 for span in (plain, now))
        high = max(most, 2 * start, here)
        yield Moved(
            name=name, label=label, value=f"{here:.12g}", plain=f"{start:.12g}",
            said=use_words(name, now, ground.currency), plain_said=use_words(name, plain, ground.currency),
            low="0", high=f"{min(high, MOST_HOURS) if name == 'hours' else high:.12g}", step="any",
        )  # fmt: skip


def use_words(name: str, span: Span | None, currency: Currency) -> str:
    """Hours or a tariff as they are read beside a slider."""
    if span is None:
        return "not on record"
    if name == "hours":
        return hours_words(span)
    return tariff_words((f"{span[0]:.10f}", f"{span[1]:.10f}"), currency)


def _years(ground: MoneyGround, moved: MoneyGround) -> Moved:
    years = moved.kept.years
    return Moved(
        name="years", label="Kept for", value=f"{years:.12g}", plain=f"{ground.kept.years:.12g}",
        said=years_words(years), plain_said=years_words(ground.kept.years), low="0.5",
        high=f"{max(SHOWN_YEARS, ground.kept.years):.12g}", step="any",
    )  # fmt: skip


def tried_of(ground: MoneyGround, sent: Mapping[str, str]) -> Tried:
    """What was sent of the sliders; what stands where it stood is not tried on. Raises BadRecord."""
    plain = {each.name: each.plain for each in sliders_of(ground, ground)}
    moved = {name: text for name, text in sent.items() if name in plain and text != plain[name]}
    unit = 10**ground.currency.decimals
    hours, tariff = _number(moved, "hours", 0, MOST_HOURS), _number(moved, "tariff", 0, 10.0**6)
    return Tried(
        prices={
            name.removeprefix(PRICE): round(value * unit)
            for name in moved
            if name.startswith(PRICE) and (value := _number(moved, name, 1 / unit, 10.0**9)) is not None
        },
        hours=None if hours is None else (hours, hours),
        tariff=None if tariff is None else (tariff * unit, tariff * unit),
        years=_number(moved, "years", 0.1, MOST_YEARS),
    )


def _number(moved: Mapping[str, str], name: str, low: float, high: float) -> float | None:
    text = moved.get(name, "").strip()
    if not text:
        return None
    try:
        value = float(text.replace(",", "."))
    except ValueError:
        value = float("nan")
    if not low <= value <= high:
        raise BadRecord(
            f"'{text}' cannot be tried on", where=name.replace("-", " of ", 1),
            todo=f"give a number from {low:g} to {high:,g}",
        )  # fmt: skip
    return value
