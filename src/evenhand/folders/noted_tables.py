"""What a study file notes beside its runs: prices, offers, rates of change, sound, tuned parts.

Each reads the sound entries of its tables and adds what is wrong of the others to `problems`.
"""

from __future__ import annotations

from evenhand.folders import tuned_entries, worth
from evenhand.folders.checks import Known
from evenhand.folders.entries import Document, entries_of, raw_of
from evenhand.folders.heat_tables import HeatTable, entry_of, heat_in_file
from evenhand.folders.offer_tables import OfferTable, RateTable
from evenhand.folders.offers import offer_of, offer_problems, rate_of, rate_problems
from evenhand.folders.problems import Problem
from evenhand.folders.study_folder import (
    HeatEntry,
    TrialEntry,
    TunedEntry,
)
from evenhand.folders.trial_tables import TrialInFile, TunedInFile
from evenhand.folders.worth_tables import PriceTable, SoundTable
from evenhand.records.offers import Offer
from evenhand.records.prices import Currency, Price
from evenhand.records.rates import Rate
from evenhand.records.sound import SoundReading


def prices_in(
    document: Document, currency: Currency | None, known: Known, problems: list[Problem]
) -> tuple[Price, ...]:
    """What builds cost."""
    found = []
    for at, table in entries_of(document, "prices", PriceTable, problems):
        problems.extend(worth.price_problems(table, at, currency=currency, builds=known.builds))
        found.append(worth.price_of(table, currency))
    return tuple(price for price in found if price is not None)


def offers_in(
    document: Document, currency: Currency | None, known: Known, problems: list[Problem]
) -> tuple[Offer, ...]:
    """What parts were offered for."""
    found = []
    for at, table in entries_of(document, "offers", OfferTable, problems):
        problems.extend(offer_problems(table, at, currency=currency, parts=known.parts))
        found.append(offer_of(table, currency))
    return tuple(offer for offer in found if offer is not None)


def rates_in(document: Document, problems: list[Problem]) -> tuple[Rate, ...]:
    """By what other currencies were changed."""
    found = []
    for at, table in entries_of(document, "rates", RateTable, problems):
        problems.extend(rate_problems(table, at))
        found.append(rate_of(table))
    return tuple(rate for rate in found if rate is not None)


def sound_in(document: Document, known: Known, problems: list[Problem]) -> tuple[SoundReading, ...]:
    """Readings of sound."""
    found = []
    for at, table in entries_of(document, "sound", SoundTable, problems):
        reading = worth.sound_of(table)
        problems.extend(worth.sound_problems(reading, at, setups=known.setups, tests=known.tests))
        found.append(reading)
    return tuple(found)


def tuned_in(document: Document, known: Known, problems: list[Problem]) -> tuple[TunedEntry, ...]:
    """Tuned parts with the limits of their makers."""
    entries = entries_of(document, "tuned", TunedInFile, problems)
    found = [(at, tuned_entries.tuned_entry(table)) for at, table in entries]
    problems.extend(tuned_entries.tuned_in_file(found, setups=known.setups))
    return tuple(entry for _, entry in found)


def trials_in(
    document: Document, tuned: tuple[TunedEntry, ...], problems: list[Problem]
) -> tuple[TrialEntry, ...]:
    """Trials of the parts that are `tuned`."""
    entries = entries_of(document, "trials", TrialInFile, problems)
    found = [(at, tuned_entries.trial_entry(table)) for at, table in entries]
    of = {(each.part.setup, each.part.part): each.part for each in tuned}
    problems.extend(tuned_entries.trials_in_file(found, of, declared=_declared_parts(document)))
    return tuple(entry for _, entry in found)


def heat_in(document: Document, known: Known, problems: list[Problem]) -> tuple[HeatEntry, ...]:
    """Temperature logs of tuned parts, each with its file."""
    entries = entries_of(document, "heat", HeatTable, problems)
    found = [(at, entry_of(table)) for at, table in entries]
    problems.extend(heat_in_file(found, _declared_parts(document), known.layouts))
    return tuple(entry for _, entry in found)


def _declared_parts(document: Document) -> set[tuple[str, str]]:
    """Setups with the parts of them that the file names as tuned, readable or not."""
    return {(str(raw.get("setup")), str(raw.get("part"))) for raw in raw_of(document, "tuned")}
