"""money: who is better value at which prices, and what each machine costs to own."""

from __future__ import annotations

import math
from pathlib import Path
from typing import TYPE_CHECKING

import click

from evenhand.cli.for_whom import hours_span, span
from evenhand.cli.putting_away import tell_away
from evenhand.cli.showing import as_json, say, say_json, table

if TYPE_CHECKING:
    from evenhand.desk.money.basis import MoneyGround, Tried
    from evenhand.desk.money.days import AllLed, Replayed
    from evenhand.desk.opening import Desk


@click.command("money")
@click.argument("study")
@click.option("--audience", default=None, metavar="KEY", help="For whom (default: the first).")
@click.option("--hours", callback=hours_span, metavar="900..1500",
              help="Hours a year at the load of these tests, in place of the audience's.")  # fmt: skip
@click.option("--tariff", callback=span, metavar="0.28..0.36",
              help="What a kilowatt-hour costs, in place of the audience's.")  # fmt: skip
@click.option("--years", type=click.FloatRange(0.1, 20), default=None,
              help="How long a machine is kept, in place of the study's.")  # fmt: skip
@as_json
@click.pass_obj
def money(
    workbench: Path | None, study: str, audience: str | None, hours: list[float] | None,
    tariff: list[str] | None, years: float | None, as_json: bool,
) -> None:  # fmt: skip
    """Say who is better value in a STUDY at which prices, and what each machine costs to own.

    What is tried on is kept nowhere: hours and tariff are the audience's, years the study's.

    Example: evenhand money saltmarsh --audience mostly-play --years 5
    """
    from evenhand.desk.money.answers import all_at_once, money_answer, money_of_study, replays
    from evenhand.desk.opening import open_desk, present

    with open_desk(workbench, create=False) as wb:
        tell_away(wb, study, as_json=as_json)
        tried = tried_on(wb, study, hours, tariff, years)
        ground = money_of_study(wb, study, audience=audience, tried=tried)
        today = present().astimezone().date()
        days, led = replays(wb, ground, today=today), all_at_once(wb, ground, today=today)
        if as_json:
            say_json(money_answer(ground, days, led))
        else:
            tell_money(ground, days, led)


def tried_on(
    wb: Desk, study: str, hours: list[float] | None, tariff: list[str] | None, years: float | None
) -> Tried:
    """What is tried on. Raises BadParameter for a span from high to low, BadRecord for no tariff."""
    from evenhand.desk.money.basis import Tried
    from evenhand.desk.money.trying import MOST_HOURS
    from evenhand.desk.study.on_shelf import study_called
    from evenhand.records.amounts import fine_minor_of

    currency = study_called(wb, study).currency
    paid = None
    if tariff is not None and currency is not None:
        paid = tuple(float(fine_minor_of(end, currency)) for end in tariff)
    for name, ends, most in (("--hours", hours, MOST_HOURS), ("--tariff", paid, math.inf)):
        if ends is not None and not 0 <= ends[0] <= ends[1]:
            raise click.BadParameter("write the lower one first, 0 or more.", param_hint=name)
        if ends is not None and ends[1] > most:
            raise click.BadParameter(f"a year has no more than {most:,.0f} hours.", param_hint=name)
    return Tried(
        hours=None if hours is None else (hours[0], hours[1]),
        tariff=None if paid is None else (paid[0], paid[1]), years=years,
    )  # fmt: skip


def tell_money(ground: MoneyGround, days: tuple[Replayed, ...], led: AllLed | None) -> None:
    """Who is better value, each pair and its days, and what each costs to own."""
    from evenhand.publish.direction import isolated

    say(f"For {isolated(ground.here.audience.name)}:")
    _tell_value(ground)
    _tell_days(ground, days, led)
    _tell_owning(ground)


def _tell_value(ground: MoneyGround) -> None:
    """Who is better value, alone and with further costs, and each pair at today's prices."""
    from evenhand.desk.money.valuing import valued
    from evenhand.publish import value_words
    from evenhand.publish.money_words import amount
    from evenhand.publish.numbers import number

    names, currency, value = ground.names, ground.currency, valued(ground)
    if value is None:
        return
    say(f"{value_words.lead_words(value.leads, names, currency)}.")
    more = amount(value.more_minor, currency)
    table(("build", "price", "index", "for a thousand", f"with {more} besides"), [
        (
            names.setup(row.setup), amount(row.minor, currency), number(row.index[0], 3),
            number(row.alone[0], 3), number(row.with_more[0], 3),
        )
        for row in value.rows
    ])  # fmt: skip
    for pair in value.pairs:
        a, b = names.setup(pair.a), names.setup(pair.b)
        sides = [(a, ground.prices[pair.a]), (b, ground.prices[pair.b])]
        said = value_words.at_prices_words(pair.stand, sides, currency)
        say(f"{said} Level where {a} costs {value_words.band_digits(pair.even, currency)}.")


def _tell_days(ground: MoneyGround, days: tuple[Replayed, ...], led: AllLed | None) -> None:
    """On how many days each of a pair was better value, and each of all."""
    from evenhand.money.break_even import Value
    from evenhand.publish import value_words

    names = ground.names
    for each in days:
        counts = tuple(each.counted(value) for value in (Value.A, Value.B, Value.LEVEL))
        a, b = names.setup(each.a), names.setup(each.b)
        say(value_words.days_words(a, b, (counts[0], counts[1], counts[2]), each.known))
        _say_left(each.known, each.out, over=len(each.days), who="both")
    if led is not None and led.known:
        told_led = {tuple(map(names.setup, setups)): many for setups, many in led.led.items()}
        say(value_words.led_words(led.known, told_led))
        _say_left(led.known, led.out, over=len(led.days), who="all")


def _tell_owning(ground: MoneyGround) -> None:
    """What each costs to own, and what lies between the two of each pair."""
    from evenhand.desk.money.owning import difference, owning, stand_by_owning
    from evenhand.publish import owning_words, value_words

    names, currency, found = ground.names, ground.currency, owning(ground)
    wholes = [(names.setup(setup), own.whole) for setup, own in found.by_setup.items()]
    say(owning_words.wholes_words(wholes, ground.kept.years, currency))
    drawn = [(names.setup(setup), ground.watts[setup]) for setup in found.by_setup if setup in ground.watts]
    if drawn:
        say(owning_words.drawn_words(drawn, ground.kept.hours))
    if found.lacking:
        say(owning_words.uncounted_words(found.lacking))
    for a, b in ground.edges:
        told = names.setup(a), names.setup(b)
        say(owning_words.apart_words(*told, difference(ground, a, b), currency))
        say(f"  {value_words.by_owning_words(stand_by_owning(ground, a, b), *told)}")


def _say_left(known: int, out: int, *, over: int, who: str) -> None:
    """Which of the days are left out, where some are."""
    from evenhand.publish.value_words import left_days_words

    left = left_days_words(known, out, over=over, who=who)
    if left:
        say(f"  {left}")


COMMANDS = (money,)
