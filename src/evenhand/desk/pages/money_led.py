"""The part of the money page on all machines at once: on how many of the last days each led by value."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from evenhand.desk.money.basis import MoneyGround
from evenhand.desk.money.days import OVER, all_led
from evenhand.desk.pages.money_days import FEW, passed_words
from evenhand.desk.parts.price_days import build_looks
from evenhand.publish.dates import day_words
from evenhand.publish.numbers import capital, counted
from evenhand.publish.value_words import days_share
from evenhand.store.workbench import Workbench

MEANING = "A build leads where no other one is better value; where that holds of several they are tied."


@dataclass(frozen=True, slots=True, kw_only=True)
class LedRow:
    """Who led, by name and colour, and on how many days; several are tied."""

    who: tuple[tuple[str, int], ...]
    days: str


@dataclass(frozen=True, slots=True, kw_only=True)
class LedPart:
    """Who led on how many days; without rows too little is known of prices."""

    heading: str
    rows: tuple[LedRow, ...] = ()
    words: str = ""


def led_part(wb: Workbench, ground: MoneyGround, *, today: date) -> LedPart | None:
    """The days of all machines at once; None of fewer than three, or where nothing is said of some pair."""
    found = all_led(ground, build_looks(wb, ground.record), today=today)
    if found is None:
        return None
    if found.known < FEW:
        many = f"{counted(len(found.machines), 'build')} could be had at a known price"
        return LedPart(
            heading=f"Too few of the last {OVER} days on which all {many} to say who led",
            words=passed_words(found.known, found.out, who="all"),
        )
    names = ground.names
    return LedPart(
        heading=f"Who led on the {counted(found.known, 'day')} up to {day_words(found.until)} "
        "on which all could be had",
        rows=tuple(
            LedRow(
                who=tuple((names.setup(setup), names.slot(setup).number) for setup in setups),
                days=capital(days_share(many, found.known)),
            )
            for setups, many in found.led.items()
        ),
        words=" ".join(filter(None, (MEANING, passed_words(found.known, found.out, who="all")))),
    )  # fmt: skip
