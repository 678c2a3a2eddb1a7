"""Audiences, prices and sound readings of a study file into records, and whether they agree with the rest."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence
from decimal import Decimal

from evenhand.errors import BadRecord, nearest
from evenhand.folders.lines import Path
from evenhand.folders.problems import Problem
from evenhand.folders.worth_tables import AudienceTable, CurrencyTable, PriceTable, SoundTable
from evenhand.records.amounts import fine_minor_of, minor_of
from evenhand.records.audiences import Audience, Property
from evenhand.records.prices import Currency, Price
from evenhand.records.sound import SoundReading

# Stands in while a file is read whose currency is missing: the file is refused for it all the same.
_NONE = Currency(symbol="?", decimals=4)

BACKWARDS, FORWARDS = "the first is higher than the second", "write the lower one first"

# Frequency weightings of sound level meters (IEC 61672-1).
FILTERS = ("A", "C", "Z")


def currency_of(table: CurrencyTable | None) -> Currency | None:
    """A currency."""
    return None if table is None else Currency(symbol=table.symbol, decimals=table.decimals)


def audiences_of(tables: Sequence[AudienceTable], *, currency: CurrencyTable | None) -> tuple[Audience, ...]:
    """The audiences; money that cannot be read is 0 and left to `audience_problems`."""
    money = currency_of(currency) or _NONE
    return tuple(
        Audience(
            key=table.key, name=table.name, told=table.told, groups=dict(table.groups),
            tests=dict(table.tests), properties=dict(table.properties),
            fixed_minor=_minor(table.fixed, money) or 0,
            hours_a_year=_ends(table.hours_a_year),
            tariff_minor=_tariff(table.tariff, money),
        )
        for table in tables
    )  # fmt: skip


def _minor(written: str | None, currency: Currency) -> int | None:
    try:
        return None if written is None else minor_of(written, currency)
    except BadRecord:
        return None


def _ends(span: Sequence[float] | None) -> tuple[float, float] | None:
    return None if span is None else (span[0], span[1])


def _tariff(written: Sequence[str] | None, currency: Currency) -> tuple[str, str] | None:
    if written is None:
        return None
    try:
        return fine_minor_of(written[0], currency), fine_minor_of(written[1], currency)
    except BadRecord:
        return None


def audience_problems(
    tables: Sequence[AudienceTable], *, currency: CurrencyTable | None, path: Path = ("study",)
) -> Iterator[Problem]:
    """What is wrong with audiences by themselves: keys taken twice, all weights 0, money of no currency."""
    seen: set[str] = set()
    for at, table in enumerate(tables):
        place = (*path, "audiences", at)
        if table.key in seen:
            yield Problem(
                path=(*place, "key"), found=f"the key '{table.key}' is taken", todo="give each its own"
            )
        seen.add(table.key)
        yield from _weightless(table, place)
        if table.fixed is not None:
            yield from amount_problems(table.fixed, currency_of(currency), (*place, "fixed"))
        yield from _use_problems(table, currency_of(currency), place)


def _use_problems(table: AudienceTable, currency: Currency | None, place: Path) -> Iterator[Problem]:
    """What is wrong with hours and tariff: of each the lower one first, the tariff in a currency."""
    if table.hours_a_year is not None and table.hours_a_year[0] > table.hours_a_year[1]:
        yield Problem(path=(*place, "hours_a_year"), found=BACKWARDS, todo=FORWARDS)
    if table.tariff is None:
        return
    if currency is None:
        yield from amount_problems("", None, (*place, "tariff"))
        return
    try:
        low, high = (Decimal(fine_minor_of(each, currency)) for each in table.tariff)
    except BadRecord as wrong:
        yield Problem(path=(*place, "tariff"), found=wrong.found, todo=wrong.todo)
        return
    if low > high:
        yield Problem(path=(*place, "tariff"), found=BACKWARDS, todo=FORWARDS)


def _weightless(table: AudienceTable, place: Path) -> Iterator[Problem]:
    if not sum((*table.groups.values(), *table.tests.values())) > 0:
        said = "no test and no group of this audience has a weight above 0"
        yield Problem(path=place, found=said, todo="write groups = { games = 1 } or tests = { ... }")
    if not sum(table.properties.values()) > 0:
        said = "no property has a weight above 0"
        yield Problem(path=(*place, "properties"), found=said, todo="write speed = 1, or leave the key out")
    elif not sum(weight for of, weight in table.properties.items() if of != Property.PRICE) > 0:
        said = "by the price alone it is only the cheaper one: nothing that is measured counts"
        todo = "weigh speed, lows, power or noise beside it; prices stand on the page Builds"
        yield Problem(path=(*place, "properties"), found=said, todo=todo)


def amount_problems(written: str, currency: Currency | None, path: Path) -> Iterator[Problem]:
    """What is wrong with an amount."""
    if currency is None:
        todo = 'add currency = { symbol = "...", decimals = 2 } to [study]'
        yield Problem(path=path, found="the study says no currency", todo=todo)
        return
    try:
        minor_of(written, currency)
    except BadRecord as wrong:
        yield Problem(path=path, found=wrong.found, todo=wrong.todo)


def audience_names(
    audiences: Iterable[Audience], *, groups: Collection[str], tests: Collection[str]
) -> Iterator[Problem]:
    """Groups and tests that audiences weigh and the study has not."""
    for at, audience in enumerate(audiences):
        for key, named, known in (("groups", audience.groups, groups), ("tests", audience.tests, tests)):
            for name in (name for name in named if name not in known):
                noun = key.removesuffix("s")
                todo = nearest(name, known) if known else f"give a test of the study a {noun}"
                yield Problem(
                    path=("study", "audiences", at, key, name),
                    found=f"the study has no {noun} '{name}'", todo=todo,
                )  # fmt: skip


def price_of(table: PriceTable, currency: Currency | None) -> Price | None:
    """A price in its own currency, or else the study's; None where the amount cannot be read."""
    money = currency_of(table.currency) or currency
    minor = None if money is None else _minor(table.price, money)
    if money is None or minor is None:
        return None
    return Price(build=table.build, minor=minor, currency=money, on=table.on, note=table.note)


def price_problems(
    table: PriceTable, at: int, *, currency: Currency | None, builds: Collection[str]
) -> Iterator[Problem]:
    """Whether a price is one, of a build that exists."""
    yield from _unknown(("prices", at, "build"), "build", table.build, builds)
    yield from amount_problems(table.price, currency_of(table.currency) or currency, ("prices", at, "price"))


def sound_of(table: SoundTable) -> SoundReading:
    """One reading."""
    return SoundReading(
        setup=table.setup, level_db=table.level_db, background_db=table.background_db, test=table.test or "",
        distance_m=table.distance_m, weighting=table.weighting, temperatures_c=dict(table.temperatures_c),
        room_c=table.room_c, at=table.at, note=table.note,
    )  # fmt: skip


def sound_problems(
    reading: SoundReading, at: int, *, setups: Collection[str], tests: Mapping[str, object]
) -> Iterator[Problem]:
    """Whether a reading is of a setup and a test that exist, by a known filter, no quieter than its room."""
    yield from _unknown(("sound", at, "setup"), "setup", reading.setup, setups)
    if reading.test:
        yield from _unknown(("sound", at, "test"), "test", reading.test, tests)
    if reading.weighting not in FILTERS:
        yield Problem(
            path=("sound", at, "weighting"),
            found=f"'{reading.weighting}' is no filter of a sound level meter",
            todo=f"write {', '.join(FILTERS[:-1])} or {FILTERS[-1]}",
        )  # fmt: skip
    if reading.background_db is not None and reading.background_db > reading.level_db:
        said = (
            f"the background of {reading.background_db:g} dB is louder than the {reading.level_db:g} dB read"
        )
        yield Problem(path=("sound", at, "background_db"), found=said, todo="see whether the two are swapped")


def _unknown(path: Path, called: str, name: str, known: Collection[str]) -> Iterator[Problem]:
    if name not in known:
        advice = nearest(name, known) if known else f"no {called} is declared"
        yield Problem(path=path, found=f"'{name}' is not a {called} of this file", todo=advice)
