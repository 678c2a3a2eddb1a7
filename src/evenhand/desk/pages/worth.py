"""What builds cost and how setups sound, as the builds page shows it beside each."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date

from evenhand.desk.on_record import StudyOnRecord, load_study
from evenhand.desk.pages.offers import offer_said, rate_said
from evenhand.desk.parts.assuming import terms_done
from evenhand.desk.study import listening, quoting
from evenhand.publish.dates import day_words
from evenhand.publish.direction import isolated
from evenhand.publish.money_words import amount
from evenhand.publish.numbers import capital
from evenhand.publish.worth_words import (
    CAREFUL_METER,
    no_price_words,
    old_price_words,
    price_words,
    reading_words,
)
from evenhand.records.prices import Price
from evenhand.records.sound import SoundReading
from evenhand.store.workbench import Workbench

PRICE, SOUND, OFFER, RATE, POWER = "price", "sound", "offer", "rate", "power"


@dataclass(frozen=True, slots=True, kw_only=True)
class Entry:
    """One price or reading as a line, by its number."""

    number: int
    words: str
    note: str


@dataclass(frozen=True, slots=True, kw_only=True)
class PriceCard:
    """What a build costs: the price that counts, or why none does; whether it is old, and the others."""

    said: str
    note: str
    lacking: str
    old: str
    every: tuple[Entry, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Just:
    """What was just said or taken back, with the way back: `verb` is the last step of its address.

    Without a `label` there is no way back.
    """

    words: str
    place: str
    verb: str
    label: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Worth:
    """Prices by build, readings by setup. `tests` may have run meanwhile; `unit` is "" without a currency."""

    unit: str
    prices: Mapping[str, PriceCard]
    sound: Mapping[str, tuple[Entry, ...]]
    tests: tuple[tuple[str, str], ...]
    careful: str
    just: Just | None


def worth_of(wb: Workbench, study: str, *, today: date, just: str = "") -> Worth:
    """What is on record; `just` names a price or reading that was just said or taken back, as "price-3"."""
    record = load_study(wb, study)
    told = quoting.prices_told(wb, study)
    readings = listening.readings_told(wb, study)
    return Worth(
        unit=told.currency.symbol if told.currency else "",
        prices={build.key: price_card(told, build.key, today=today) for build in told.builds},
        sound={key: sound_entries(record, readings, key) for key in record.setups},
        tests=tuple((test.key, test.name) for test in record.compared_tests),
        careful=CAREFUL_METER,
        just=just_done(wb, record, just),
    )


def price_card(told: quoting.Prices, build: str, *, today: date) -> PriceCard:
    """The prices of one build, the one that counts first, then the newest first."""
    own = tuple(price for price in told.every if price.build == build)
    counting = told.now.get(build)
    first = next((price for price in own if price.id == told.counts.get(build)), None)
    others = tuple(price for price in reversed(own) if price is not first)
    shown = (*((first,) if first else ()), *others)
    return PriceCard(
        said=counting_words(counting),
        note=counting.note if counting else "",
        lacking="" if counting else lacking_words(others, told),
        old=old_price_words(counting, today),
        every=tuple(
            Entry(
                number=price.id, words=price_words(price, to_come=price.id in told.to_come), note=price.note
            )
            for price in shown
        ),
    )


def lacking_words(others: Sequence[Price], told: quoting.Prices) -> str:
    """Why a build has no price that counts."""
    return no_price_words(
        [price for price in others if price.id not in told.to_come], told.currency,
        early=[price for price in others if price.id in told.to_come],
    )  # fmt: skip


def counting_words(counting: Price | None) -> str:
    """The price that counts with its day; "" where none does."""
    if counting is None:
        return ""
    return f"{amount(counting.minor, counting.currency)}, on {day_words(counting.on)}"


def sound_entries(record: StudyOnRecord, readings: Sequence[SoundReading], setup: str) -> tuple[Entry, ...]:
    """The readings beside one setup, in order of arrival."""
    return tuple(
        Entry(
            number=each.id,
            words=_reading(record, each),
            note=" ".join(filter(None, (each.note, *_warned(each, readings)))),
        )
        for each in readings
        if each.setup == setup
    )


def _warned(reading: SoundReading, among: Sequence[SoundReading]) -> tuple[str, str]:
    """What a reading is not good for: too close to the room's level, or made otherwise than the others."""
    near = listening.near_room(reading.level_db, reading.background_db)
    return near, listening.unlike_others(reading, among)


def _reading(record: StudyOnRecord, reading: SoundReading) -> str:
    known = record.tests.get(reading.test)
    return reading_words(reading, known.name if known else reading.test)


def just_done(wb: Workbench, record: StudyOnRecord, just: str) -> Just | None:
    """The price or reading that is named so; None where none is. Raises NotFound where its number is none."""
    kind, _, digits = just.partition("-")
    if kind not in (PRICE, SOUND, OFFER, RATE, POWER) or not (
        digits.isascii() and digits.isdigit() and len(digits) < 18
    ):
        return None
    study, number = record.study.key, int(digits)
    if kind == OFFER:
        words, _, stands = offer_said(wb, number)
        return _just(f"offers/{number}", words, stands=stands)
    if kind == RATE:
        words, stands = rate_said(wb, number)
        return _just(f"rates/{number}", words, stands=stands)
    if kind == POWER:
        words, last = terms_done(wb, number)
        return Just(words=f"{words}.", place=f"power/{number}", verb="undo", label="Undo" if last else "")
    if kind == PRICE:
        price = quoting.price_numbered(wb, study, number)
        return _just(f"prices/{number}", _of_price(record, price), stands=quoting.stands(wb, price))
    reading = listening.reading_numbered(wb, study, number)
    name = record.setups[reading.setup].name if reading.setup in record.setups else reading.setup
    said = f"{name}: {_reading(record, reading)}"
    return _just(f"sound/{number}", said, stands=listening.stands(wb, reading))


def _of_price(record: StudyOnRecord, price: Price) -> str:
    build = record.builds.get(price.build)
    return f"{isolated(build.name if build else price.build)}: {price_words(price)}"


def _just(place: str, said: str, *, stands: bool) -> Just:
    if stands:
        words = f"{capital(said)}. This is on record."
        return Just(words=words, place=place, verb="take-back", label="Take it back")
    words = f"{capital(said)}. This was taken back; it stays on record and counts no more."
    return Just(words=words, place=place, verb="put-back", label="Undo")
