"""What is due for a fresh look: prices that have grown old, and verdicts that a small step would turn."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date
from enum import StrEnum

from evenhand.desk.on_record import StudyOnRecord, load_study
from evenhand.desk.verdict.judged import Judgement
from evenhand.desk.verdict.judged_for import judged_for
from evenhand.publish.dates import day_words
from evenhand.publish.direction import isolated
from evenhand.publish.flip_words import flip_sentence
from evenhand.publish.money_words import amount
from evenhand.publish.numbers import counted
from evenhand.store.workbench import Workbench
from evenhand.verdicts.moves import Lever

OLD_DAYS = 30
SMALL_PRICE = 0.05  # of a price: what a sale takes off in a week
SMALL_WEIGHT = 0.1  # points of a share: about how well people know their own hours
MOST_OF_ONE = 3  # steps told of one audience


class Sort(StrEnum):
    """Why something is due."""

    OLD_PRICE = "old price"
    NO_PRICE = "no price"
    NEAR_PRICE = "near a turn by price"
    NEAR_WEIGHT = "near a turn by weight"


@dataclass(frozen=True, slots=True, kw_only=True)
class Due:
    """One thing to look at again: why, for whom ("" for all), and in words."""

    sort: Sort
    words: str
    audience: str = ""


def due(wb: Workbench, study: str, *, today: date) -> tuple[Due, ...]:
    """Everything of a study that is due, prices first. Raises NotFound."""
    record = load_study(wb, study)
    judgement = judged_for(wb, record)
    return (*_old(judgement, today), *_missing(judgement), *_near(record, judgement))


def _old(judgement: Judgement, today: date) -> Iterator[Due]:
    for setup, price in judgement.paid.by_setup.items():
        days = (today - price.on).days
        if days > OLD_DAYS:
            name, what = judgement.names.setup(setup), amount(price.minor, price.currency)
            words = f"{name}’s price, {what}, is of {day_words(price.on)}: {counted(days, 'day')} old."
            yield Due(sort=Sort.OLD_PRICE, words=words)


def _missing(judgement: Judgement) -> Iterator[Due]:
    if judgement.paid.by_setup:
        for setup in judgement.paid.unpriced:
            yield Due(sort=Sort.NO_PRICE, words=f"No price is on record for {judgement.names.setup(setup)}.")


def _near(record: StudyOnRecord, judgement: Judgement) -> Iterator[Due]:
    """For each audience the smallest steps of prices and weights that would turn something."""
    sorts = {Lever.PRICE: (SMALL_PRICE, Sort.NEAR_PRICE), Lever.WEIGHT: (SMALL_WEIGHT, Sort.NEAR_WEIGHT)}
    runs = {each.run.id: each.run.label for each in record.runs}
    for here in judgement.audiences:
        told = 0
        for flip in here.flips:
            most, sort = sorts.get(flip.moves[0].lever, (0.0, Sort.NEAR_PRICE))
            if flip.size > most or told == MOST_OF_ONE:
                continue
            told += 1
            said = flip_sentence(flip, judgement.names, currency=judgement.paid.currency, runs=runs)
            yield Due(sort=sort, audience=here.audience.key, words=f"{isolated(here.audience.name)}: {said}")
