"""The fields of prices and sound readings: what stands in new ones, what was sent, and how it is kept."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

from starlette.datastructures import FormData

from evenhand.desk.pages.worth import PRICE, SOUND
from evenhand.desk.study import listening, quoting
from evenhand.desk.study.briefing import change_study
from evenhand.desk.study.checking import FieldProblem
from evenhand.desk.study.on_shelf import study_called
from evenhand.desk.typed_numbers import decimal
from evenhand.records.prices import Currency
from evenhand.web.forms import Reader, Reading
from evenhand.web.served import Site
from evenhand.web.study_fields import read_currency

Values = dict[str, str | tuple[str, ...]]
KINDS = (PRICE, SOUND)
HOT = ("processor", "graphics")


def today_at(site: Site) -> date:
    """The day by this computer's clock."""
    return site.now().astimezone().date()


def new_price(site: Site) -> Values:
    """A price of today."""
    return {"on": today_at(site).isoformat(), "decimals": "2"}


def new_reading() -> Values:
    """A reading with the usual filter, and room for what is usually hot."""
    return {"weighting": "A", "hot-name": HOT, "hot-value": ("",) * len(HOT)}


def looked_at(
    site: Site, study: str, kind: str, key: str, sent: FormData
) -> tuple[Reading, tuple[FieldProblem, ...]]:
    """What was sent of a build's price or beside a setup, and what is wrong with it."""
    if kind == SOUND:
        reading = read_reading(sent, key)
        return _beside_others(site, study, reading)
    return price_looked_at(site, study, key, sent)


def _beside_others(site: Site, study: str, reading: Reading) -> tuple[Reading, tuple[FieldProblem, ...]]:
    """A reading with what is wrong with it; at its distance, that it was made otherwise than the others."""
    draft = listening.drafted_reading(site.wb, study, reading.given)
    if draft.record is None:
        return reading, draft.problems
    unlike = listening.unlike_others(draft.record, listening.readings_told(site.wb, study))
    read = {**reading.read, "distance_m": unlike} if unlike else reading.read
    return replace(reading, read=read), draft.problems


def price_looked_at(
    site: Site, study: str, build: str, sent: FormData
) -> tuple[Reading, tuple[FieldProblem, ...]]:
    """A price, with the currency of the study where that is asked for with it."""
    known = study_called(site.wb, study).currency
    asked = read_currency(sent) if known is None else None
    table = asked.given.get("currency") if asked else None
    money = known or (Currency(**table) if table else None)
    reader = Reader(sent)
    if asked:
        reader.errors |= asked.errors
        if table is None and "symbol" not in reader.errors:
            reader.errors["symbol"] = "A price needs a currency; write its sign, once for the whole study."
    amount, day = reader.text("price"), reader.text("on")
    if not amount:
        reader.errors["price"] = "The amount is missing; write what the whole machine costs."
    elif money and (read := quoting.read_back(amount, money)):
        reader.read["price"] = f"Read as {read}."
    if later := quoting.later_price(site.wb, study, build, day):
        reader.read["on"] = later
    given = {"build": build, "price": amount or None, "on": day or None, "note": reader.text("note")}
    if asked and table:
        given["currency"] = table
    draft = quoting.drafted_price(site.wb, study, given, today=today_at(site))
    problems, sure = draft.problems, reader.text("sure") == "yes"
    if draft.record and not sure and (asks := quoting.asked_about(site.wb, draft.record)):
        reader.errors["sure"] = asks
    unpriced = reader.errors.get("symbol") or reader.errors.get("decimals")
    return reader.done(**given, sure=sure), tuple(
        p for p in problems if not (unpriced and p.field == "price")
    )


def read_reading(sent: FormData, setup: str) -> Reading:
    """A reading beside a setup; how close it is to the room's is told at its level."""
    reader = Reader(sent)
    level, background = reader.number("level_db", "dB"), reader.number("background_db", "dB")
    if not reader.text("level_db"):
        reader.errors["level_db"] = "The level is missing; write what the meter showed beside the machine."
    if near := listening.near_room(level, background):
        reader.read["level_db"] = near
    hot = {}
    for part, written in reader.rows("hot", spared=HOT).items():
        value = decimal(written)
        if value is None:
            reader.errors["hot"] = f"\u2018{written}\u2019 is no number; write degrees in digits, as in 71.5."
        elif not part:
            reader.errors["hot"] = "A temperature stands without its part; write which one was so hot."
        else:
            hot[part] = value
    return reader.done(
        setup=setup,
        level_db=level,
        background_db=background,
        test=reader.words("test"),
        distance_m=reader.number("distance_m", "m"),
        weighting=reader.words("weighting"),
        temperatures_c=hot,
        room_c=reader.number("room_c", "°C"),
        note=reader.text("note"),
    )


def at_fields(reading: Reading, problems: tuple[FieldProblem, ...]) -> tuple[FieldProblem, ...]:
    """Problems at the form's own fields."""
    if reading.errors.get("level_db"):
        problems = tuple(each for each in problems if each.field != "level_db")
    return tuple(
        replace(each, field="hot") if each.field.startswith("temperatures_c") else each for each in problems
    )


def saved(site: Site, study: str, kind: str, reading: Reading) -> str:
    """The price or reading, on record; "price-3" or the like. Raises BadRecord."""
    now = site.now()
    if kind == SOUND:
        return f"{SOUND}-{listening.add_reading(site.wb, study, reading.given, now=now).id}"
    given = dict(reading.given)
    with site.wb.writing():
        if "currency" in given:
            change_study(site.wb, study, {"currency": given.pop("currency")}, now=now)
        sure = bool(given.pop("sure", False))
        price = quoting.add_study_price(site.wb, study, given, now=now, today=today_at(site), sure=sure)
    return f"{PRICE}-{price.id}"
