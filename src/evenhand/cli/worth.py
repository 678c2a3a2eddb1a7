"""price, prices, sound: what builds cost, and how they sound."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from evenhand.cli.for_whom import pairs
from evenhand.cli.mistakes import puts_back, takes_back
from evenhand.cli.putting_away import tell_away
from evenhand.cli.showing import as_json, say, say_json, table

if TYPE_CHECKING:
    from evenhand.records.prices import Currency
    from evenhand.records.sound import SoundReading


# A minus before an amount is no option: it is told what is wrong with it.
@click.command("price", context_settings={"ignore_unknown_options": True})
@click.argument("build")
@click.argument("amount")
@click.option(
    "--on", default=None, metavar="DAY", help="The day on which it was asked, as 2031-05-04 (default: today)."
)
@click.option("--note", default="", help="Where it is from, what is inside it.")
@click.option("--currency", "symbol", default=None, metavar="SYMBOL",
              help="The currency, where its studies say none or another.")  # fmt: skip
@click.option("--decimals", type=click.IntRange(0, 4), default=None,
              help="With --currency: the decimals of its smallest unit (default: 2).")  # fmt: skip
@click.option("--sure", is_flag=True, help="It is right, though far from what the build cost last.")
@as_json
@click.pass_obj
def price(
    workbench: Path | None, /, build: str, amount: str, *, symbol: str | None, decimals: int | None,
    sure: bool, as_json: bool, **more: str | None,
) -> None:  # fmt: skip
    """Put on record what a complete BUILD costs. The latest day counts; earlier prices stay.

    A study of it that says no currency yet counts in the one that is given.

    Example: evenhand price wren 742 --note "counter price, tax inside"
    """
    from evenhand.desk.opening import open_desk, present
    from evenhand.desk.study.quoting import add_price, counts_not
    from evenhand.desk.study.worth_answers import price_answer
    from evenhand.publish.worth_words import price_words

    if decimals is not None and symbol is None:
        raise click.UsageError("--decimals goes with --currency.")
    money = None if symbol is None else currency(symbol, 2 if decimals is None else decimals)
    given = {"price": amount, **more}  # the day, and the note
    with open_desk(workbench, create=False) as wb:
        now = present()
        today = now.astimezone().date()
        kept, taken = add_price(wb, build, given, currency=money, now=now, today=today, sure=sure)
        others = counts_not(wb, kept)
    if as_json:
        say_json({"price": price_answer(kept), "currency_of": list(taken)})
        return
    say(f"{build}: {price_words(kept)}. Price {kept.id} is on record.")
    for study in taken:
        say(f"{study} counts in {kept.currency.symbol} from now on.")
    for study, theirs in others:
        say(f"{study} counts in {theirs}: this price does not count there.")


def currency(symbol: str, decimals: int) -> Currency:
    """A currency. Raises BadParameter where its symbol is none."""
    from evenhand.records.prices import Currency

    if not 0 < len(symbol) <= 8 or any(c.isdigit() or c.isspace() or c in ".," for c in symbol):
        raise click.BadParameter(
            "a symbol has up to eight signs, none of them a digit.", param_hint="--currency"
        )
    return Currency(symbol=symbol, decimals=decimals)


@click.command("prices")
@click.argument("study")
@takes_back("price")
@puts_back("price")
@as_json
@click.pass_obj
def prices(
    workbench: Path | None, study: str, take_back: int | None, put_back: int | None, as_json: bool
) -> None:
    """List what the builds of a STUDY cost, each price with its day, and which counts.

    Example: evenhand prices saltmarsh --take-back 3
    """
    from evenhand.desk.opening import open_desk, present
    from evenhand.desk.study import quoting
    from evenhand.desk.study.worth_answers import prices_answer

    with open_desk(workbench, create=False) as wb:
        if take_back is not None:
            quoting.take_back(wb, study, take_back, now=present())
        if put_back is not None:
            quoting.put_back(wb, study, put_back, now=present())
        tell_away(wb, study, as_json=as_json)
        told = quoting.prices_told(wb, study)
    if as_json:
        say_json(prices_answer(study, told))
        return
    tell_prices(told)


def tell_prices(told: Any) -> None:
    """Every price as a row, and the builds that have none."""
    from evenhand.desk.opening import present
    from evenhand.publish.worth_words import currency_words, no_price_words, old_price_words, price_words

    say(currency_words(told.currency))
    counting = set(told.counts.values())
    rows = [
        (
            str(p.id), p.build, price_words(p, to_come=p.id in told.to_come),
            "counts" if p.id in counting else "", p.note,
        )
        for p in told.every
    ]  # fmt: skip
    if rows:
        table(("no.", "build", "price", "", "note"), rows)
    for summed in (price for price in told.now.values() if not price.id):
        say(f"{summed.build}: {price_words(summed)}, counts: {summed.note}.")
    for build in told.builds:
        own = [p for p in told.every if p.build == build.key]
        now = told.now.get(build.key)
        words = old_price_words(now, present().astimezone().date())
        if now is None:
            early = [p for p in own[::-1] if p.id in told.to_come]
            words = no_price_words([p for p in own[::-1] if p not in early], told.currency, early=early)
        if words:
            say(f"{build.name}: {words}")


@click.command("sound")
@click.argument("study")
@click.argument("setup")
@click.option("--level", type=float, default=None, metavar="DB", help="The level with the machine running.")
@click.option("--background", type=float, default=None, metavar="DB",
              help="The level at the same place without it, just before or after.")  # fmt: skip
@click.option("--test", default=None, help="The test that ran meanwhile (default: it idled).")
@click.option("--distance", type=float, default=None, metavar="M", help="From the machine to the meter.")
@click.option("--weighting", default="A", show_default=True, help="The meter's frequency weighting.")
@click.option("--hot", "temperatures", multiple=True, callback=pairs, metavar="processor=78",
              help="What was hot meanwhile, by part, in °C; may be repeated.")  # fmt: skip
@click.option("--room", type=float, default=None, metavar="C", help="The air that the machine draws in.")
@click.option("--at", default=None, help="When, as 2031-05-04T10:40:00+02:00.")
@click.option("--note", default="", help="Anything worth remembering.")
@takes_back("reading")
@puts_back("reading")
@as_json
@click.pass_obj
def sound(
    workbench: Path | None,
    /, study: str, setup: str, take_back: int | None, put_back: int | None,
    as_json: bool, **given: Any,
) -> None:  # fmt: skip
    """Put on record what a sound level meter read beside a SETUP of a STUDY; without --level, list that.

    Use the same meter at the same place for every setup, and read the room without the machine, too.

    Example: evenhand sound saltmarsh wren-stock --level 38.5 --background 27 --test causeway --distance 0.6
    """
    from evenhand.desk.opening import open_desk, present
    from evenhand.desk.study import listening
    from evenhand.desk.study.worth_answers import reading_answer

    added = None
    if given["level"] is None and any(
        given[name] for name in ("background", "test", "distance", "temperatures")
    ):
        raise click.UsageError("A reading needs its --level.")
    with open_desk(workbench, create=False) as wb:
        if take_back is not None:
            listening.take_back(wb, study, take_back, setup=setup, now=present())
        if put_back is not None:
            added = listening.put_back(wb, study, put_back, setup=setup, now=present())
        if given["level"] is not None:
            added = listening.add_reading(wb, study, reading_table(setup, given), now=present())
        tell_away(wb, study, as_json=as_json)
        every = listening.readings_told(wb, study, setup)
        unlike = listening.unlike_others(added, listening.readings_told(wb, study)) if added else ""
    if as_json:
        readings = [reading_answer(each) for each in every]
        say_json({
            "study": study, "setup": setup, "readings": readings, "added": added.id if added else None,
        })  # fmt: skip
        return
    tell_readings(every, setup)
    if added is not None:
        near = listening.near_room(added.level_db, added.background_db)
        say(" ".join(filter(None, (near, unlike))) or f"Reading {added.id} is on record.")


def reading_table(setup: str, given: dict[str, Any]) -> dict[str, Any]:
    """A reading with the keys of its table."""
    return {
        "setup": setup, "level_db": given["level"], "background_db": given["background"],
        "test": given["test"], "distance_m": given["distance"], "weighting": given["weighting"],
        "temperatures_c": given["temperatures"], "room_c": given["room"], "at": given["at"],
        "note": given["note"],
    }  # fmt: skip


def tell_readings(every: tuple[SoundReading, ...], setup: str) -> None:
    """Every reading as a row."""
    from evenhand.publish.worth_words import reading_words

    if not every:
        say(f"No reading of {setup} is on record.")
        return
    table(("no.", "reading", "note"), [(str(r.id), reading_words(r, r.test), r.note) for r in every])


COMMANDS = (price, prices, sound)
