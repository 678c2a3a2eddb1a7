"""offer, offers, rate, rates: what parts were offered for, and by what other currencies are changed."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from evenhand.cli.mistakes import puts_back, takes_back
from evenhand.cli.putting_away import tell_away
from evenhand.cli.sheets import columns_named, content
from evenhand.cli.showing import as_json, say, say_json, table

if TYPE_CHECKING:
    from evenhand.desk.opening import Desk
    from evenhand.desk.parts.offer_answers import OffersTold
    from evenhand.desk.parts.offer_sheets import Read, Said
    from evenhand.records.rates import Rate

NEEDS_YOU = 1
SELLERS = click.Choice(["shop", "marketplace", "used"])
MOST_TOLD = 20
sure = click.option("--sure", is_flag=True, help="It is right, though far from what is usual.")
on = click.option("--on", default=None, metavar="DAY",
                  help="The day on which it was seen, as 2031-05-04 (default: today).")  # fmt: skip
note = click.option("--note", default="", help="Where it was seen.")


# A minus before an amount is no option: it is told what is wrong with it.
@click.command("offer", context_settings={"ignore_unknown_options": True})
@click.argument("part")
@click.argument("item")
@on
@click.option("--shipping", default="", metavar="AMOUNT", help="What sending it costs on top.")
@click.option("--tax", default="", metavar="AMOUNT", help="Tax that is not in the item's price.")
@click.option("--coupon", default="", metavar="AMOUNT", help="What comes off.")
@click.option("--seller", type=SELLERS, default="shop", show_default=True, help="What kind of seller it is.")
@click.option("--out-of-stock", is_flag=True, help="It could not be had on that day.")
@click.option("--currency", default="", metavar="SYMBOL",
              help="Another currency than the studies of the part count in.")  # fmt: skip
@click.option("--decimals", default="", metavar="NUMBER", help="Of a currency that is new here, 0 to 4.")
@note
@sure
@as_json
@click.pass_obj
def offer(
    workbench: Path | None, /, out_of_stock: bool, as_json: bool, on: str | None, **given: Any,
) -> None:  # fmt: skip
    """Put on record what a PART was offered for: the ITEM's price, and what comes on top and off.

    Example: evenhand offer osk-650 78 --shipping 6 --note "by post"
    """
    from evenhand.desk.opening import open_desk, present
    from evenhand.desk.parts.offer_answers import offer_answer
    from evenhand.desk.parts.offering import add_offer
    from evenhand.publish.offer_words import offer_words

    with open_desk(workbench, create=False) as wb:
        now = present()
        today = now.astimezone().date()
        sent = {**given, "on": on or today.isoformat(), "in_stock": not out_of_stock}
        said = add_offer(wb, sent, now=now, today=today)
    if as_json:
        say_json({"offer": offer_answer(said.offer), "again": said.again})
        return
    state = "was on record before" if said.again else "is on record"
    say(f"{said.offer.part}: {offer_words(said.offer)}. Offer {said.offer.id} {state}.")
    for left_out in filter(None, (said.unowned, said.unrated)):
        say(left_out)


@click.command("offers")
@click.argument("study")
@click.option("--part", default="", metavar="KEY",
              help="Of this part alone; with --file the part that all its rows are of.")  # fmt: skip
@takes_back("offer")
@puts_back("offer")
@click.option("--file", type=click.Path(path_type=Path), default=None,
              help="A table of offers; without --confirm it is only told how it is read.")  # fmt: skip
@click.option("--column", "columns", multiple=True, metavar="NAME=ROLE",
              help="What a column of the table is; may be repeated. ROLE: part, item, shipping, tax, coupon, "
                   "currency, seller, stock, day, note, or nothing to leave it out.")  # fmt: skip
@click.option("--confirm", is_flag=True, help="Keep what is new of the table.")
@click.option("--day", default="", metavar="DAY", help="The day of rows that do not say one.")
@click.option("--seller", type=SELLERS, default=None,
              help="The kind of seller of rows that say none (default: as before, or shop).")  # fmt: skip
@click.option("--currency", default="", metavar="SYMBOL", help="The currency of rows that do not say one.")
@click.option("--decimals", default="", metavar="NUMBER", help="Of a currency that is new here, 0 to 4.")
@click.option("--day-order", "order", type=click.Choice(["day first", "month first"]), default=None,
              help="Which comes first in days that can be read either way.")  # fmt: skip
@click.option("--refused", type=click.Path(dir_okay=False, path_type=Path), default=None,
              help="Write the rows that cannot be kept to this file, with the reasons.")  # fmt: skip
@sure
@as_json
@click.pass_obj
def offers(
    workbench: Path | None, /, study: str, take_back: int | None, put_back: int | None, file: Path | None,
    confirm: bool, refused: Path | None, as_json: bool, **given: Any,
) -> None:  # fmt: skip
    """List what the parts of a STUDY were offered for, and what they cost over time; or bring a table in.

    Example: evenhand offers saltmarsh --file list.csv --column Price=item --column Seen=day --confirm
    """
    from evenhand.desk.opening import open_desk, present
    from evenhand.desk.parts import offering
    from evenhand.desk.parts.offer_answers import offers_answer, offers_told, table_answer

    if file is None and (given["columns"] or confirm or refused):
        raise click.UsageError("--column, --confirm and --refused go with --file.")
    with open_desk(workbench, create=False) as wb:
        if take_back is not None:
            offering.take_back_offer(wb, take_back, now=present())
        if put_back is not None:
            offering.put_back_offer(wb, put_back, now=present())
        tell_away(wb, study, as_json=as_json)
        brought = bring(wb, study, file, given, confirm=confirm) if file is not None else (None, None, "")
        found, said, before = brought
        told = offers_told(wb, study, part=given["part"])
    kept = len(found.new) if found is not None and confirm and not found.problems else 0
    if found is not None and refused is not None:
        write_refused(refused, found)
    if as_json:
        answer = table_answer(found, said.columns, kept=kept) if found and said else None
        say_json(offers_answer(told, answer))
    elif found is not None and said is not None:
        if before:
            say(before)
        tell_table(found, said, kept=kept, confirm=confirm)
    else:
        tell_offers(told)
    if found is not None and (found.problems or found.refused or found.asked):
        raise click.exceptions.Exit(NEEDS_YOU)


def bring(
    wb: Desk, study: str, file: Path, given: dict[str, Any], *, confirm: bool
) -> tuple[Read, Said, str]:
    """A table as it is read, and kept where that is confirmed and nothing is missing; what is known of it."""
    from evenhand.desk.opening import present
    from evenhand.desk.pages.any_table import remembered_words
    from evenhand.desk.parts.offer_roles import NAMES
    from evenhand.desk.parts.offer_sheets import Said, keep_offers, reading
    from evenhand.desk.parts.remembered import offers_at_first, remember_offers
    from evenhand.desk.study.on_shelf import study_called
    from evenhand.folders.sheets import read_sheet

    money, sheet = study_called(wb, study).currency, read_sheet(content(file), name=file.name)
    known = offers_at_first(wb, sheet, money)
    first = known.said
    own = columns_named(sheet, given["columns"], NAMES)
    proposed = {at: "" if role in own.values() else role for at, role in first.columns.items()}
    said = Said(
        columns=proposed | own, part=given["part"], currency=given["currency"] or first.currency,
        decimals=given["decimals"] or first.decimals, day=given["day"],
        seller=given["seller"] or first.seller or "shop", order=given["order"] or first.order,
        sure=given["sure"],
    )  # fmt: skip
    now = present()
    once = reading(wb, sheet, said, currency=money, today=now.astimezone().date())
    found = once()
    if confirm and not found.problems:
        with wb.writing():
            found, _ = keep_offers(wb, once, now=now)
            remember_offers(wb, sheet, said, now=now)
    return found, said, remembered_words(known.at)


def tell_table(found: Read, said: Said, *, kept: int, confirm: bool) -> None:
    """How a table was read, what of it is new, and what cannot be."""
    from evenhand.desk.pages.offer_table import looks_of, notes_of, row_card
    from evenhand.desk.parts.offer_roles import NAMES

    say(looks_of(found))
    named = enumerate(found.sheet.header)
    table(("column", "is"), [(name, NAMES.get(said.columns.get(at, ""), "left out")) for at, name in named])
    for problem in found.problems:
        say(problem)
    shown = [each for each in found.rows if each.offer is not None and not each.asks][:MOST_TOLD]
    wrong = [*found.refused, *found.asked]
    for each in (*shown, *wrong[:MOST_TOLD]):
        card = row_card(each)
        say(f"line {card.line}: {card.words}")
    if len(wrong) > MOST_TOLD:
        say(f"and {len(wrong) - MOST_TOLD} more lines that cannot be kept.")
    for words in notes_of(found):
        say(words)
    if kept:
        say(f"{kept} of {len(found.sheet.rows)} rows are on record now.")
    elif not found.problems and not confirm:
        new = f"{len(found.new)} of {len(found.sheet.rows)} rows are new"
        say(f"{new}. Nothing is kept yet: --confirm keeps them.")


def write_refused(place: Path, found: Read) -> None:
    """The rows that cannot be kept, with their lines and the reasons. Raises BadParameter."""
    import csv

    from evenhand.publish.spreadsheets import neutral

    try:
        with place.open("w", encoding="utf-8", newline="") as out:
            rows = csv.writer(out, delimiter=found.sheet.delimiter)
            rows.writerow(["line", "why not", *map(neutral, found.sheet.header)])
            for each in (*found.refused, *found.asked):
                why = neutral(each.reason or each.asks)
                rows.writerow([each.row.line, why, *map(neutral, each.row.cells)])
    except OSError as error:
        said = f"{place} cannot be written: {error.strerror}"
        raise click.BadParameter(said, param_hint="--refused") from error


def tell_offers(told: OffersTold) -> None:
    """Every offer as a row, and what parts and builds cost over time."""
    from evenhand.desk.money.goods import out_since
    from evenhand.desk.parts.offer_answers import past_words
    from evenhand.publish.dates import day_words
    from evenhand.publish.offer_words import early_words, offer_words, rateless_words, used_words

    rows = [(str(o.id), o.part, offer_words(o), o.note) for o in told.offers]
    if rows:
        table(("no.", "part", "offer", "note"), rows)
    else:
        say("No offer is on record.")
    money = told.currency
    for key, (name, days) in told.builds.items():
        if money is not None and days:
            say(f"{name} ({key}): {past_words(days, money)}")
    for key, part in told.parts.items():
        of_money = (past_words(part.days, money), rateless_words(part.rateless, money)) if money else ()
        since = out_since(part.looked)
        gone = f"Out of stock since {day_words(since)}." if since else ""
        words = tuple(filter(None, (*of_money, gone, early_words(part.early), used_words(part.used))))
        if words:
            say(f"{told.names.get(key, key)}: {' '.join(words)}")


@click.command("rate", context_settings={"ignore_unknown_options": True})
@click.argument("of")
@click.argument("rate")
@click.argument("into", required=False, default="")
@on
@click.option("--of-decimals", default="", metavar="NUMBER", help="Of OF, where it is new here: 0 to 4.")
@click.option("--into-decimals", default="", metavar="NUMBER", help="Of INTO, where it is new here: 0 to 4.")
@note
@sure
@as_json
@click.pass_obj
def rate(workbench: Path | None, /, as_json: bool, on: str | None, **given: Any) -> None:
    """Put on record that one OF is RATE units of INTO: the currency of all studies, where it is left out.

    It stands from its day until a later one does, and serves both ways.

    Example: evenhand rate cr 2.45 dl --of-decimals 2 --into-decimals 0
    """
    from evenhand.desk.opening import open_desk, present
    from evenhand.desk.parts.currencies import currency_of_all
    from evenhand.desk.parts.offer_answers import rate_answer
    from evenhand.desk.parts.rating import add_rate
    from evenhand.publish.offer_words import rate_words

    with open_desk(workbench, create=False) as wb:
        now = present()
        today = now.astimezone().date()
        sent = {**given, "on": on or today.isoformat()}
        kept, told = add_rate(wb, sent, currency=currency_of_all(wb), now=now, today=today)
    if as_json:
        say_json({"rate": rate_answer(kept), "told": told})
        return
    say(f"{rate_words(kept)}. Rate {kept.id} is on record.")
    if told:
        say(told)


@click.command("rates")
@takes_back("rate")
@puts_back("rate")
@as_json
@click.pass_obj
def rates(workbench: Path | None, take_back: int | None, put_back: int | None, as_json: bool) -> None:
    """List the exchange rates on record, each with its day.

    Example: evenhand rates --take-back 2
    """
    from evenhand.desk.opening import open_desk, present
    from evenhand.desk.parts import rating
    from evenhand.desk.parts.offer_answers import rate_answer

    with open_desk(workbench, create=False) as wb:
        if take_back is not None:
            rating.take_back_rate(wb, take_back, now=present())
        if put_back is not None:
            rating.put_back_rate(wb, put_back, now=present())
        every = rating.rates_told(wb)
    if as_json:
        say_json({"rates": [rate_answer(each) for each in every]})
        return
    tell_rates(every)


def tell_rates(every: tuple[Rate, ...]) -> None:
    """Every rate as a row."""
    from evenhand.publish.offer_words import rate_words

    if not every:
        say("No exchange rate is on record.")
        return
    table(("no.", "rate", "note"), [(str(r.id), rate_words(r), r.note) for r in every])


COMMANDS = (offer, offers, rate, rates)
