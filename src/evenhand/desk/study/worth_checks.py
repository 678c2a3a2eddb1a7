"""Audiences, prices and sound readings as a person gives them, each problem at the field where it arose.

What is given has the keys of the study file's tables and the same rules. A weight's field is the table's key
and the name, as in "groups.games".
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping
from datetime import date, datetime
from typing import Any, TypeVar

from pydantic import ValidationError

from evenhand.desk.study.checking import Checked, FieldProblem, Given
from evenhand.folders import worth
from evenhand.folders.problems import Problem
from evenhand.folders.table import Table
from evenhand.folders.wording import problem_of
from evenhand.folders.worth_tables import AudienceTable, CurrencyTable, PriceTable, SoundTable
from evenhand.publish.worth_words import SEEN_ON, to_come_words
from evenhand.records.audiences import Audience
from evenhand.records.prices import Currency, Price
from evenhand.records.sound import SoundReading
from evenhand.records.studies import Study
from evenhand.records.tests import Test

T = TypeVar("T", bound=Table)

# What to do where the file's own words would speak of its keys.
FITTING: Mapping[str, str] = {
    "groups": "give one group or test a weight above 0",
    "properties": "give one of them a weight above 0",
}
NO_CURRENCY = "say first in which currency the study counts"
SPANS: Mapping[str, tuple[str, str]] = {
    "hours_a_year": ("hours a year must lie above 0 and at most 8784", "a whole year has 8760"),
    "tariff": ("a kilowatt-hour needs an amount", "write it as in 0.30"),
}
TOO_LITTLE = ("a weight must be 0 or more", "write 0 to leave it out")


def checked_audience(study: Study, tests: Iterable[Test], given: Given) -> Checked[Audience]:
    """An audience of a study, whose groups and tests it must have."""
    table, problems = _table(AudienceTable, _told(given))
    if table is None:
        return Checked(record=None, problems=problems)
    tests = tuple(tests)
    currency = None
    if study.currency is not None:
        currency = CurrencyTable(symbol=study.currency.symbol, decimals=study.currency.decimals)
    (audience,) = worth.audiences_of([table], currency=currency)
    groups = {test.group for test in tests if test.group}
    alone = worth.audience_problems([table], currency=currency)
    named = worth.audience_names([audience], groups=groups, tests={test.key for test in tests})
    found = tuple(_at_weight(each, priced=study.currency is not None) for each in (*alone, *named))
    return Checked(record=None if found else audience, problems=found)


def checked_price(
    given: Given, *, currency: Currency | None, builds: Collection[str], today: date
) -> Checked[Price]:
    """A price of one of these builds, in its own currency or else in this one, of a day until today."""
    table, problems = _table(PriceTable, _dated(_told(given), on=date))
    if table is None:
        return Checked(record=None, problems=problems)
    found = tuple(
        _at_field(each) for each in worth.price_problems(table, 0, currency=currency, builds=builds)
    )
    if table.on > today:
        found = (*found, FieldProblem(field="on", found=to_come_words(table.on), todo=SEEN_ON))
    return Checked(record=None if found else worth.price_of(table, currency), problems=found)


def checked_reading(
    given: Given, *, setups: Collection[str], tests: Mapping[str, object]
) -> Checked[SoundReading]:
    """A reading beside one of these setups."""
    table, problems = _table(SoundTable, _dated(_told(given), at=datetime))
    if table is None:
        return Checked(record=None, problems=problems)
    reading = worth.sound_of(table)
    found = tuple(_at_field(each) for each in worth.sound_problems(reading, 0, setups=setups, tests=tests))
    return Checked(record=None if found else reading, problems=found)


def _told(given: Given) -> dict[str, Any]:
    return {key: value for key, value in given.items() if value is not None}


def _dated(given: dict[str, Any], **kinds: type[date]) -> dict[str, Any]:
    """Days and moments that were sent as text; what is none is left to its table."""
    for key, kind in kinds.items():
        if isinstance(given.get(key), str):
            try:
                given[key] = kind.fromisoformat(given[key].strip())
            except ValueError:
                continue
    return given


def _table(model: type[T], given: Given) -> tuple[T | None, tuple[FieldProblem, ...]]:
    try:
        return model.model_validate(given), ()
    except ValidationError as failed:
        return None, tuple(_refused(model, error) for error in failed.errors(include_url=False))


def _refused(model: type[Table], error: Any) -> FieldProblem:
    steps = [str(step) for step in error["loc"][:2]]
    field = ".".join(steps)
    if error["type"] == "greater_than_equal" and len(steps) == 2:
        return FieldProblem(field=field, found=TOO_LITTLE[0], todo=TOO_LITTLE[1])
    if steps[0] in SPANS:
        return FieldProblem(field=steps[0], found=SPANS[steps[0]][0], todo=SPANS[steps[0]][1])
    if field == "name":
        return FieldProblem(field=field, found="the name is missing", todo="write what they are called")
    if field == "on":
        return FieldProblem(field=field, found=_none(error, "day"), todo="write it as 2031-05-04")
    if field == "at":
        todo = "write it as 2031-05-04T10:40:00+02:00"
        return FieldProblem(field=field, found=_none(error, "moment"), todo=todo)
    problem = problem_of(model, (), error)
    return FieldProblem(field=field, found=problem.found, todo=problem.todo)


def _none(error: Any, kind: str) -> str:
    """That what was given is no day or moment, with what it was where something was written."""
    given = error.get("input")
    return (
        f"'{given[:40]}' is no {kind}" if isinstance(given, str) and given.strip() else f"this is no {kind}"
    )


def _at_weight(problem: Problem, *, priced: bool) -> FieldProblem:
    field = ".".join(str(step) for step in problem.path[3:]) or "groups"
    todo = FITTING.get(field, problem.todo)
    if field in ("fixed", "tariff") and not priced:
        todo = NO_CURRENCY
    return FieldProblem(field=field, found=problem.found, todo=todo)


def _at_field(problem: Problem) -> FieldProblem:
    field = str(problem.path[-1])
    unpriced = problem.found == "the study says no currency"
    found = problem.found.replace("of this file", "of this study")
    return FieldProblem(field=field, found=found, todo=NO_CURRENCY if unpriced else problem.todo)
