"""The part of the money page on days: who was better value on which, and when it turned."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from evenhand.desk.money.basis import MoneyGround
from evenhand.desk.money.days import OVER, Replayed, replay
from evenhand.desk.parts.price_days import build_looks
from evenhand.money.break_even import Value
from evenhand.money.looked import KEPT_DAYS
from evenhand.publish.dates import day_words
from evenhand.publish.figures.value_days import Days, value_days
from evenhand.publish.money_words import amount
from evenhand.publish.names import Names
from evenhand.publish.numbers import capital, counted
from evenhand.publish.picture import Picture
from evenhand.publish.value_words import days_words, left_days_words
from evenhand.records.prices import Currency
from evenhand.store.workbench import Workbench

LOOK = "Prices are written down on the page Builds, as often as you look."
STANDS = (
    f"A price stands for {KEPT_DAYS} days after it was asked, unless somebody looked and it was out of stock."
)
FEW = 2  # days with a price of both: with fewer nothing can turn


@dataclass(frozen=True, slots=True, kw_only=True)
class TurnRow:
    """A day on which it turned: what stood before and after, and both prices."""

    on: str
    before: str
    after: str
    a: str
    b: str


@dataclass(frozen=True, slots=True, kw_only=True)
class DaysPart:
    """Without a `picture` too little is known of prices, which `words` say."""

    heading: str
    words: str
    picture: Picture | None = None
    sides: tuple[str, str] = ("", "")
    turns: tuple[TurnRow, ...] = ()
    passed: str = ""
    out: str = ""


def days_part(wb: Workbench, ground: MoneyGround, pair: tuple[str, str], *, today: date) -> DaysPart:
    """The days of a pair at today's difference and their own prices."""
    names, (a, b) = ground.names, (ground.names.setup(each) for each in pair)
    found = replay(ground, build_looks(wb, ground.record), pair, today=today)
    if found is None:
        return DaysPart(heading="No days to be told", words="Nothing is said of the value of these two.")
    if found.known < FEW:
        return DaysPart(
            heading=f"Too few prices in the last {OVER} days",
            words=f"{_known(found)} up to {day_words(found.until)}: nothing can have turned. {LOOK}",
        )  # fmt: skip
    counts = found.counted(Value.A), found.counted(Value.B), found.counted(Value.LEVEL)
    words = days_words(a, b, counts, found.known)
    drawn = Days(a=pair[0], b=pair[1], days=found.days, turns=found.turns, seen=words)
    return DaysPart(
        heading=_heading(found), words=words, picture=value_days(drawn, names), sides=(a, b),
        turns=tuple(_turn_rows(found, names, ground.currency)),
        passed=passed_words(found.known, found.out, who="both"),
        out="Empty outlines are days on which it was out of stock." if found.out else "",
    )  # fmt: skip


def passed_words(known: int, out: int, *, who: str) -> str:
    """Which days are left out, and how long a price stands; "" where none are."""
    left = left_days_words(known, out, over=OVER, who=who)
    return f"{left} {STANDS}" if left else ""


def _known(found: Replayed) -> str:
    days = capital(counted(found.known, "day")) if found.known else "No day"
    return f"{days} of the {OVER} {'has' if found.known < FEW else 'have'} a price of both"


def _heading(found: Replayed) -> str:
    """How often it turned."""
    turned = len(found.turns)
    often = "never turned" if not turned else f"turned {'once' if turned == 1 else counted(turned, 'time')}"
    return f"In the {OVER} days up to {day_words(found.until)} it {often}"


def _turn_rows(found: Replayed, names: Names, currency: Currency) -> list[TurnRow]:
    days = {day.on: day for day in found.days}
    said = {Value.A: names.setup(found.a), Value.B: names.setup(found.b), Value.LEVEL: "neither"}
    rows = []
    for turn in found.turns:
        day = days[turn.on]
        a, b = (amount(each, currency) if each is not None else "" for each in (day.a_minor, day.b_minor))
        rows.append(
            TurnRow(on=day_words(turn.on), before=said[turn.before], after=said[turn.after], a=a, b=b)
        )
    return rows
