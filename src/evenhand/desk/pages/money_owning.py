"""The part of the money page on owning: what each costs over the years, and what sliders move of it."""

from __future__ import annotations

import json
from collections.abc import Iterator
from dataclasses import dataclass

from evenhand.desk.money.basis import MoneyGround
from evenhand.desk.money.moving import moving_ground
from evenhand.desk.money.owning import Owning, difference, owning, stand_by_owning
from evenhand.money.owning import FALL, HOURS, RESALE, TARIFF, Owned
from evenhand.publish.figures.owning import Bar, owning_bars
from evenhand.publish.money_words import amount
from evenhand.publish.owning_words import (
    apart_words,
    drawn_words,
    hours_words,
    range_words,
    tariff_words,
    uncounted_words,
    wholes_words,
    years_words,
)
from evenhand.publish.picture import Picture
from evenhand.publish.value_words import at_prices_words, by_owning_words

SWINGS = {
    HOURS: "Hours a year", TARIFF: "What a kilowatt-hour costs", RESALE: "What share it fetches at once",
    FALL: "How fast that falls",
}  # fmt: skip


@dataclass(frozen=True, slots=True, kw_only=True)
class OwnRow:
    """One machine: its parts and the whole, each as it is read; `energy` is "" where it is not counted."""

    key: str
    name: str
    slot: int
    price: str
    fetches: str
    energy: str
    repairs: str
    whole: str


@dataclass(frozen=True, slots=True, kw_only=True)
class SwingRow:
    """One assumption, and how far apart its ends put the whole of each machine."""

    name: str
    by_setup: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Moved:
    """A slider: the field it is sent as, what it is called, where it stands, how that is read, its ends.

    `plain` is where it stands while nothing is tried on, `plain_said` how that is read.
    """

    name: str
    label: str
    value: str
    said: str
    low: str
    high: str
    step: str
    plain: str
    plain_said: str
    setup: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class OwningPart:
    """What each costs to own, with what sliders answer by; `uncounted` says what electricity lacks."""

    heading: str
    about: str
    drawn: str
    picture: Picture
    rows: tuple[OwnRow, ...]
    swings: tuple[SwingRow, ...]
    read: tuple[str, ...]
    uncounted: str
    sliders: tuple[Moved, ...]
    ground: str


def owning_part(
    ground: MoneyGround, pair: tuple[str, str], sliders: tuple[Moved, ...], plain: MoneyGround
) -> OwningPart:
    """What each costs to own under what is assumed, or tried on; `plain` is the ground without that."""
    found, names, currency = owning(ground), ground.names, ground.currency
    bars = [Bar(setup=setup, own=own) for setup, own in found.by_setup.items()]
    return OwningPart(
        heading=heading_words(ground, found),
        about=about_words(plain, owning(plain)),
        drawn=drawn_words(drawn_by(plain), plain.kept.hours),
        picture=owning_bars(bars, names, years=ground.kept.years, currency=currency),
        rows=tuple(_row(setup, own, ground) for setup, own in found.by_setup.items()),
        swings=tuple(_swings(found, ground)),
        read=read_words(ground, found, pair),
        uncounted=uncounted_words(found.lacking),
        sliders=sliders,
        ground=json.dumps(moving_ground(plain, pair)),
    )


def heading_words(ground: MoneyGround, found: Owning) -> str:
    """Who costs least to own, where that is so whatever of the assumptions holds."""
    order = sorted(found.by_setup, key=lambda setup: found.by_setup[setup].whole.mid)
    least, years = order[0], years_words(ground.kept.years)
    near = [s for s in order if s == least or difference(ground, least, s).high >= 0]
    if len(near) == 1:
        return f"{ground.names.setup(least)} costs least to own over {years}"
    both = " or ".join(ground.names.setup(each) for each in near)
    return f"Which costs least to own over {years} hangs on the assumptions: {both}"


def drawn_by(ground: MoneyGround) -> tuple[tuple[str, float], ...]:
    """The machines with a price by name, each with its watts at the wall, where they were read."""
    watts = ground.watts
    return tuple((ground.names.setup(setup), watts[setup]) for setup in ground.priced if setup in watts)


def about_words(ground: MoneyGround, found: Owning) -> str:
    """Which assumptions are on record, in a line."""
    kept = ground.kept
    told = [f"kept {years_words(kept.years)}"]
    if found.counted and kept.hours is not None and kept.tariff is not None:
        low, high = (f"{end:.10g}" for end in kept.tariff)
        told.append(f"{hours_words(kept.hours)} a year at this load")
        told.append(f"{tariff_words((low, high), ground.currency)} a kilowatt-hour")
    share = " to ".join(dict.fromkeys(f"{100 * end:.3g}" for end in kept.resale))
    told.append(f"fetching {share}\u00a0% of the price at once, and less each year")
    if kept.repairs_minor:
        told.append(f"{amount(kept.repairs_minor, ground.currency)} a year set aside for repairs")
    return f"{'On record' if ground.said else 'Assumed'}: {', '.join(told)}."


def read_words(ground: MoneyGround, found: Owning, pair: tuple[str, str]) -> tuple[str, ...]:
    """What the sliders answer, sentence by sentence: `web/static/money.js` says the same."""
    names, currency, (a, b) = ground.names, ground.currency, pair
    wholes = [(names.setup(setup), own.whole) for setup, own in found.by_setup.items()]
    said = [wholes_words(wholes, ground.kept.years, currency)]
    if a in found.by_setup and b in found.by_setup:
        one, other = names.setup(a), names.setup(b)
        sides = [(one, ground.prices[a]), (other, ground.prices[b])]
        said = [
            at_prices_words(ground.stand(a, b), sides, currency), *said,
            apart_words(one, other, difference(ground, a, b), currency),
            by_owning_words(stand_by_owning(ground, a, b), one, other),
        ]  # fmt: skip
    return tuple(said)


def _row(setup: str, own: Owned, ground: MoneyGround) -> OwnRow:
    names, currency = ground.names, ground.currency
    return OwnRow(
        key=setup, name=names.setup(setup), slot=names.slot(setup).number,
        price=amount(own.price_minor, currency), fetches=range_words(own.fetches, currency),
        energy=range_words(own.energy, currency) if own.energy else "",
        repairs=amount(own.repairs_minor, currency), whole=range_words(own.whole, currency),
    )  # fmt: skip


def _swings(found: Owning, ground: MoneyGround) -> Iterator[SwingRow]:
    """What each assumption adds to the range, the largest first."""
    every = list(found.by_setup.values())
    named = [name for name in SWINGS if any(own.swings.get(name) for own in every)]
    named.sort(key=lambda name: -max(own.swings.get(name, 0) for own in every))
    for name in named:
        told = tuple(amount(own.swings.get(name, 0), ground.currency) for own in every)
        yield SwingRow(name=SWINGS[name], by_setup=told)
