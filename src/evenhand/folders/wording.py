"""What pydantic found, in words for the person who wrote the file."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from datetime import date, datetime
from itertools import takewhile
from typing import TypeVar

from pydantic import ValidationError
from pydantic_core import ErrorDetails

from evenhand.errors import closest, nearest
from evenhand.folders.lines import Path
from evenhand.folders.money_terms import MoneyTable
from evenhand.folders.photo_tables import PhotoTable
from evenhand.folders.problems import Problem
from evenhand.folders.study_file import (
    SPARED,
    ColumnTable,
    DecisionTable,
    GroundTable,
    RowTable,
    WindowTable,
)
from evenhand.folders.table import Table, hidden_sign
from evenhand.folders.trial_tables import LimitInFile
from evenhand.folders.turn_tables import TurnTable
from evenhand.folders.worth_tables import AudienceTable, CurrencyTable

FIVE_BUILDS = "a study holds five builds, one in each colour: put the others into another study"

AnyTable = TypeVar("AnyTable", bound=Table)
_Said = tuple[str, str]

_INNER: Mapping[str, type[Table]] = {
    "columns": ColumnTable,
    "row": RowTable,
    "decisions": DecisionTable,
    "grounds": GroundTable,
    "window": WindowTable,
    "currency": CurrencyTable,
    "of": CurrencyTable,
    "into": CurrencyTable,
    "audiences": AudienceTable,
    "money": MoneyTable,
    "photos": PhotoTable,
    "limits": LimitInFile,
    "turns": TurnTable,
}
_EXPECTED = {
    "string_type": "text in quotes",
    "int_type": "a whole number",
    "float_type": "a number",
    "bool_type": "true or false",
    "list_type": "a list in square brackets",
    "dict_type": "a table",
    "mapping_type": "a table",
    "model_type": "a table",
    "datetime_type": "a date and time",
    "date_type": "a date",
}
SHARES: Mapping[str, float] = {"margin": 0.5, "boot_allowance": 0.5, "resale": 1.0}  # the most each may be
_EXAMPLES = {
    "bool_type": "write true or false, without quotes",
    "datetime_type": "write it without quotes, as in 2026-11-24T21:39:20Z",
    "date_type": "write it without quotes, as in 2026-11-24",
}


def checked(table: type[AnyTable], raw: object, path: Path, problems: list[Problem]) -> AnyTable | None:
    """This raw table as its model; with mistakes in it they are added to `problems`.

    Where nothing but spared keys is wrong the table is given without them, so that what is checked later
    is told of as well; None otherwise.
    """
    try:
        return table.model_validate(raw)
    except ValidationError as failed:
        errors = failed.errors(include_url=False)
        slips = {_meant(table, error) for error in errors if error["type"] == "extra_forbidden"}
        told = (error for error in errors if error["type"] != "missing" or error["loc"] not in slips)
        problems.extend(problem_of(table, path, error) for error in told)
        return _without(table, raw, {str(error["loc"][0]) for error in errors if error["loc"]})


def _without(table: type[AnyTable], raw: object, wrong: set[str]) -> AnyTable | None:
    spared = SPARED.get(table, {})
    # A key that nobody knows may be the slip of any: it is spared where every key is.
    needed = set(table.model_fields) - set(spared)
    if not isinstance(raw, Mapping) or not wrong or wrong & needed or (wrong - set(spared) and needed):
        return None
    stand_ins = {key: spared[key] for key in wrong if spared.get(key) is not None}
    return table.model_validate({**{k: v for k, v in raw.items() if k not in wrong}, **stand_ins})


def problem_of(table: type[Table], path: Path, error: ErrorDetails) -> Problem:
    """One thing that pydantic found, at its place and in words."""
    place = error["loc"]
    found, todo = _SPECIAL.get(error["type"], _plainly)(table, error)
    shown = path + (place[:-1] if error["type"] == "missing" else place)
    shown = tuple(takewhile(lambda step: not hidden_sign(str(step)), shown))
    return Problem(path=shown, found=found, todo=todo)


def _plainly(_table: type[Table], error: ErrorDetails) -> _Said:
    """Wrong types and limits: the two sorts of error that need no knowledge of the table."""
    kind, given = error["type"], error["input"]
    if kind in _EXPECTED:
        advice = _EXAMPLES.get(kind) or (f'write "{given}"' if isinstance(given, int | float) else "")
        return f"{_name(error)} must be {_EXPECTED[kind]}, not {_sort(given)}", advice
    limit = error["msg"].removeprefix("Input should be ").removeprefix("List should have ")
    return f"{_name(error)} is {given!r}; it must be {limit.removesuffix(f', not {given!r}')}", _as_share(
        error
    )


def _as_share(error: ErrorDetails) -> str:
    """Where a share was written in percent: how to write it; where a colour is none of the five, why."""
    given = error["input"]
    if error["loc"][-1] == "slot":
        return FIVE_BUILDS
    most = SHARES.get(next((step for step in reversed(error["loc"]) if isinstance(step, str)), ""), 0.0)
    if not isinstance(given, int | float) or not 0 < given / 100 <= most:
        return ""
    return f"it is a share: {given:g} % is written {given / 100:g}"


def _unknown(table: type[Table], error: ErrorDetails) -> _Said:
    key = str(error["loc"][-1])
    return f"unknown key '{key}'", nearest(key, _of_table(table, error).model_fields)


def _of_table(table: type[Table], error: ErrorDetails) -> type[Table]:
    """The table in which the error lies: this one, or one within it."""
    steps = [step for step in error["loc"][:-1] if step in _INNER]
    return _INNER[str(steps[-1])] if steps else table


def _meant(table: type[Table], error: ErrorDetails) -> Path:
    """The place of the key that an unknown one is most likely a slip of: it is not missing besides."""
    key = str(error["loc"][-1])
    return *error["loc"][:-1], closest(key, _of_table(table, error).model_fields) or key


def _missing(_table: type[Table], error: ErrorDetails) -> _Said:
    return f"the key '{error['loc'][-1]}' is missing", f"add {error['loc'][-1]} = ..."


def _not_listed(_table: type[Table], error: ErrorDetails) -> _Said:
    listed = re.findall(r"'([^']*)'", error["ctx"]["expected"])
    return f"{_name(error)} is {error['input']!r}", nearest(str(error["input"]), listed)


def _pattern(_table: type[Table], error: ErrorDetails) -> _Said:
    if error["ctx"]["pattern"] == r"\S":
        return f"{_name(error)} is empty", "write something, or leave the key out"
    return f"{error['input']!r} cannot serve as a key", "use letters, digits, '-', '_' and '.' without spaces"


def _empty(_table: type[Table], error: ErrorDetails) -> _Said:
    return f"{_name(error)} is empty", "write something, or leave the key out"


def _no_offset(_table: type[Table], error: ErrorDetails) -> _Said:
    return (
        f"{_name(error)} does not say its time zone",
        "end it with Z for UTC, or with an offset as in +02:00",
    )


def _not_finite(_table: type[Table], error: ErrorDetails) -> _Said:
    return f"{_name(error)} is {error['input']}", "write a finite number"


def _file_name(_table: type[Table], error: ErrorDetails) -> _Said:
    return f"the file name '{error['input']}' {error['ctx']['found']}", error["ctx"]["todo"]


def _bad_pattern(_table: type[Table], error: ErrorDetails) -> _Said:
    return f"the pattern '{error['input']}' {error['ctx']['found']}", error["ctx"]["todo"]


def _hidden_sign(_table: type[Table], error: ErrorDetails) -> _Said:
    return f"{_name(error)} {seen_nowhere(error)}", "take it out"


def seen_nowhere(error: ErrorDetails) -> str:
    """Which sign it is that nobody sees, after what it stands in; half of a sign is none of its own."""
    return f"has a sign in it that nobody sees, {error.get('ctx', {}).get('sign', 'half of another')}"


def _as_said(_table: type[Table], error: ErrorDetails) -> _Said:
    return error["ctx"]["found"], error["ctx"]["todo"]


def _pair(_table: type[Table], error: ErrorDetails) -> _Said:
    return f"{_name(error)} holds {error['ctx']['actual_length']} values", "write two, as in [23.0, 27.0]"


_SPECIAL: Mapping[str, Callable[[type[Table], ErrorDetails], _Said]] = {
    "extra_forbidden": _unknown,
    "missing": _missing,
    "enum": _not_listed,
    "string_pattern_mismatch": _pattern,
    "string_too_short": _empty,
    "timezone_aware": _no_offset,
    "finite_number": _not_finite,
    "file_name": _file_name,
    "pattern": _bad_pattern,
    "hidden_sign": _hidden_sign,
    "string_unicode": _hidden_sign,
    "window": _as_said,
    "amount": _as_said,
    "too_short": _pair,
    "too_long": _pair,
}


def _name(error: ErrorDetails) -> str:
    """What the value is called: its key, or the list it stands in."""
    steps = (step for step in error["loc"] if isinstance(step, str) and step != "[key]")
    names = [step for step in steps if not hidden_sign(step)]
    return f"'{names[-1]}'" if names else "the table"


def _sort(given: object) -> str:
    """What sort of TOML value this is, with the value where it is short."""
    if isinstance(given, bool):
        return str(given).lower()
    if isinstance(given, int | float | date | datetime):
        return f"the {'number' if isinstance(given, int | float) else 'date'} {given}"
    if isinstance(given, str):
        return f"the text {given[:40]!r}"
    return "a table" if isinstance(given, Mapping) else "a list"
