"""Tuned parts, limits and trials as a person or a rig gives them, each problem at its field."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from datetime import date, datetime
from typing import Any, TypeVar

from pydantic import ValidationError

from evenhand.desk.study.checking import Checked, FieldProblem, Given
from evenhand.folders.problems import Problem
from evenhand.folders.table import Table
from evenhand.folders.trial_tables import LimitTable, TrialTable, TunedTable
from evenhand.folders.trials import (
    limit_of,
    limit_problems,
    trial_of,
    trial_problems,
    tuned_of,
    tuned_problems,
)
from evenhand.folders.wording import problem_of, seen_nowhere
from evenhand.publish.numbers import number, with_unit
from evenhand.publish.tuning.words import clock_words, limit_words, point_words, voltage_words
from evenhand.records.trials import Limit, Quantity, Trial, Tuned
from evenhand.tuning.doubts import is_under_room
from evenhand.tuning.mapping import between_steps, whole_mv

T = TypeVar("T", bound=Table)

CLOCK_AHEAD_S = 86_400.0
"""A trial may be so far ahead of our clock: that of a machine under test may be wrong, or in another zone."""

MOST = ("quantity", "most")
POINT = ("clock_mhz", "voltage_mv")

_BELOW = {"hours", "planned_h", "found_after_h"}
_DATES: Mapping[str, type[date]] = {"read_on": date, "at": datetime}


def checked_tuned(given: Given, *, trials: Iterable[Trial], limits: tuple[Limit, ...]) -> Checked[Tuned]:
    """A tuned part, which must agree with the limits and the trials that are on record of it."""
    table, problems = _table(TunedTable, given)
    if table is None:
        return Checked(record=None, problems=problems)
    tuned = tuned_of(table)
    found = [_at_field(each) for each in tuned_problems(tuned, 0, setups=[tuned.setup])]
    found += _against_record(tuned, trials, limits)
    return Checked(record=None if found else tuned, problems=tuple(found))


def _against_record(
    tuned: Tuned, trials: Iterable[Trial], limits: tuple[Limit, ...]
) -> Iterator[FieldProblem]:
    for limit in limits:
        if limit.quantity not in (Quantity.VOLTAGE, Quantity.CLOCK):
            continue  # nothing that is noted of the part itself bears on it
        field = "stock_voltage_mv" if limit.quantity is Quantity.VOLTAGE else "stock_clock_mhz"
        for problem in limit_problems(limit, tuned, ()):
            found = f"with the limit of {limit_words(limit)}: {problem.found}"
            todo = "see which is wrong; a limit can be taken back"
            yield FieldProblem(field=field, found=found, todo=todo)
    for trial in trials:
        for problem in trial_problems(trial, tuned, ()):
            field = "offset" if problem.path[-1] == "voltage_mv" else "stock_clock_mhz"
            if problem.path[-1] in ("voltage_mv", "clock_mhz"):
                found = f"trial {trial.id} is on record: {problem.found}"
                todo = "see which is wrong; a trial can be taken back"
                yield FieldProblem(field=field, found=found, todo=todo)
                return


def checked_limit(given: Given, tuned: Tuned, *, today: date) -> Checked[Limit]:
    """A limit of a tuned part, read on a day until today."""
    table, problems = _table(LimitTable, given)
    if table is None:
        more = () if any(each.field in MOST for each in problems) else _of_most(given, tuned, today)
        return Checked(record=None, problems=(*problems, *more))
    limit = limit_of(table)
    found = [_at_field(each) for each in limit_problems(limit, tuned, ())]
    if limit.read_on > today:
        found.append(_to_come("read_on", "write on which day it was read"))
    return Checked(record=None if found else limit, problems=tuple(found))


def _of_most(given: Given, tuned: Tuned, today: date) -> Iterator[FieldProblem]:
    """What is wrong with the most that a limit allows, of which something else lacks: it is told at once."""
    most = {name: given.get(name) for name in MOST}
    table, _ = _table(LimitTable, {**most, "source": "-", "read_on": today})
    for each in () if table is None else limit_problems(limit_of(table), tuned, ()):
        yield _at_field(each)


def checked_trial(given: Given, tuned: Tuned, *, now: datetime, again: bool = False) -> Checked[Trial]:
    """A trial of a tuned part, within the limits of its maker, that began before now.

    One that is sent `again` is not held against limits: these may have been noted since.
    """
    left = {"voltage_mv": 0.0} if tuned.clock_alone and given.get("voltage_mv") is None else {}
    table, problems = _table(TrialTable, {**given, **left})
    if table is None:
        return Checked(record=None, problems=(*problems, *_of_point(given, tuned, problems)))
    trial = trial_of(table)
    found = [_at_field(each) for each in trial_problems(trial, tuned, ())]
    found += () if again else past_limits(trial, tuned)
    if trial.at is not None and (trial.at - now).total_seconds() > CLOCK_AHEAD_S:
        found.append(_to_come("at", "write when it began"))
    return Checked(record=None if found else trial, problems=tuple(found))


def _of_point(given: Given, tuned: Tuned, problems: Iterable[FieldProblem]) -> Iterator[FieldProblem]:
    """What is wrong with the point of a trial of which something else lacks: a limit is told at once."""
    if any(each.field in POINT for each in problems):
        return
    point = {name: given.get(name) for name in ("setup", "part", *POINT)}
    table, _ = _table(TrialTable, {**point, "load": "-", "hours": 0.0, "outcome": "stopped"})
    if table is None:
        return
    trial = trial_of(table)
    found = (*map(_at_field, trial_problems(trial, tuned, ())), *past_limits(trial, tuned))
    yield from (each for each in found if each.field in POINT)


def asked_about(trial: Trial, tuned: Tuned) -> str:
    """What of a trial may be so and is seldom meant, for whoever types it; "" where nothing is."""
    return "; ".join(_seldom_meant(trial, tuned))


def _seldom_meant(trial: Trial, tuned: Tuned) -> Iterator[str]:
    if between_steps(trial, tuned):
        point = point_words(trial.clock_mhz, trial.voltage_mv, offset=tuned.offset)
        by = clock_words(tuned.clock_step_mhz)
        if not tuned.clock_alone:
            by += f" and {with_unit(number(tuned.voltage_step_mv), 'mV')}"
        yield f"{point} lies between the steps of its firmware, which go from stock by {by}"
    if is_under_room(trial):
        hottest, room = (
            with_unit(number(each), "°C") for each in (trial.hottest_c or 0.0, trial.room_c or 0.0)
        )
        yield f"under load its hottest reading of {hottest} is below the air of {room} that cooled it"


def past_limits(trial: Trial, tuned: Tuned) -> Iterator[FieldProblem]:
    """That what was set lies past a limit, which is told with whose it is and its source."""
    most = tuned.limit(Quantity.VOLTAGE)
    if most is not None and whole_mv(tuned, trial.voltage_mv) > most.most:
        said = voltage_words(trial.voltage_mv, offset=tuned.offset)
        yield _past("voltage_mv", said, most)
    most = tuned.limit(Quantity.CLOCK)
    if most is not None and trial.clock_mhz > most.most:
        yield _past("clock_mhz", clock_words(trial.clock_mhz), most)


def _past(field: str, said: str, most: Limit) -> FieldProblem:
    whose = "the" if most.own else "the maker's"  # of one's own the words that follow tell whose it is
    found = f"{said} lies past {whose} limit of {limit_words(most)}"
    return FieldProblem(field=field, found=found, todo="do not go there; set it back if it is set now")


def _to_come(field: str, todo: str) -> FieldProblem:
    return FieldProblem(field=field, found="this day is still to come", todo=todo)


def _table(model: type[T], given: Given) -> tuple[T | None, tuple[FieldProblem, ...]]:
    told: dict[str, Any] = {key: value for key, value in given.items() if value is not None}
    for key, kind in _DATES.items():
        if isinstance(told.get(key), str):
            try:
                told[key] = kind.fromisoformat(told[key].strip())
            except ValueError:
                continue
    try:
        return model.model_validate(told), ()
    except ValidationError as failed:
        return None, tuple(_refused(model, error) for error in failed.errors(include_url=False))


def _refused(model: type[Table], error: Any) -> FieldProblem:
    if error["type"] in ("hidden_sign", "string_unicode"):
        found = f"it {seen_nowhere(error)}"
        return FieldProblem(field=str(error["loc"][0]), found=found, todo="take it out")
    field = ".".join(str(step) for step in error["loc"][:2])
    given = error.get("input")
    if field in _BELOW and error["type"] in ("greater_than_equal", "greater_than"):
        return FieldProblem(field=field, found=f"{given} h is no time", todo="write hours above 0")
    if field == "watts":
        return FieldProblem(field=field, found=f"{given} W is no mean", todo="write watts above 0")
    if field == "watts_at":
        todo = 'write "wall" or "part", whichever meter was read'
        return FieldProblem(field=field, found=f"'{given}' is no place where watts are read", todo=todo)
    if field in ("errors", "corrected"):
        return FieldProblem(field=field, found=f"{given} is no count", todo="write 0 where none was counted")
    if field == "read_on":
        return FieldProblem(field=field, found="this is no day", todo="write it as 2031-05-04")
    if field == "at":
        todo = "write it with its time zone, as 2031-05-04T10:40:00+02:00"
        return FieldProblem(field=field, found="this is no moment", todo=todo)
    if field == "source":
        todo = "write the maker's data sheet, its page; for a limit of your own begin with “ourselves:”"
        return FieldProblem(field=field, found="it is not said where this is written", todo=todo)
    if error["type"] == "missing":
        todo = "write how long it ran" if field == "hours" else "write it"
        return FieldProblem(field=field, found="this is missing", todo=todo)
    return _without_key(field, problem_of(model, (), error), given)


def _without_key(field: str, problem: Problem, given: object) -> FieldProblem:
    """A problem as it is told at its field, where nobody knows of keys."""
    said = problem.found.partition("' ")[2] if problem.found.startswith("'") else problem.found
    if said == "is empty" or given == "":
        todo = "choose how it ended" if field == "outcome" else "write it"
        return FieldProblem(field=field, found="nothing stands here", todo=todo)
    must = said.partition("; it must be ")[2]
    if must and isinstance(given, int | float):
        return FieldProblem(field=field, found=f"{given:,g} cannot be", todo=f"write what is {must}")
    return FieldProblem(
        field=field, found=f"this {said}" if said != problem.found else said, todo=problem.todo
    )


def _at_field(problem: Problem) -> FieldProblem:
    return FieldProblem(field=str(problem.path[-1]), found=problem.found, todo=problem.todo)
