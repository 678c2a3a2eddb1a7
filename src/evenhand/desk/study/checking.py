"""What a person fills in, checked as a study file is, each problem at the field where it arose.

What is given has the keys of the study file's tables (docs/formats-study.md) and the same rules.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any, Generic, TypeVar

from pydantic import ValidationError
from pydantic_core import ErrorDetails

from evenhand.desk.study.metric_checks import metric_problems
from evenhand.errors import BadRecord
from evenhand.folders import checks, from_tables, worth
from evenhand.folders.checks import Known
from evenhand.folders.money_terms import money_problems
from evenhand.folders.problems import Problem
from evenhand.folders.study_file import BuildTable, PartTable, SetupTable, StudyTable, TestTable
from evenhand.folders.table import Table
from evenhand.folders.wording import problem_of
from evenhand.records.builds import Build, Part, Setup
from evenhand.records.studies import Study
from evenhand.records.tests import Measures, Test
from evenhand.store import shelves
from evenhand.store.workbench import Workbench

R = TypeVar("R")
T = TypeVar("T", bound=Table)
Given = Mapping[str, Any]


@dataclass(frozen=True, slots=True, kw_only=True)
class FieldProblem:
    """What is wrong with one field, and what to do; `field` is the study file's key for it."""

    field: str
    found: str
    todo: str = ""

    @property
    def words(self) -> str:
        """Both as a sentence."""
        said = f"{self.found}; {self.todo}" if self.todo else self.found
        return f"{said[:1].upper()}{said[1:]}."


@dataclass(frozen=True, slots=True, kw_only=True)
class Checked(Generic[R]):
    """A record, or what keeps it from being one."""

    record: R | None
    problems: tuple[FieldProblem, ...] = ()


# What fits into a field, where the file's own words would speak of keys and shares.
FITTING: Mapping[str, tuple[str, str]] = {
    "title": ("the study has no name", "give it one"),
    "name": ("the name is missing", "write what it is called on charts"),
    "kind": ("it is not said what the part does", "write processor, graphics or the like"),
    "margin": ("the margin must be above 0 and at most 50 %", "3 % is usual"),
    "boot_allowance": ("the allowance must lie between 0 and 50 %", "1 % is usual"),
    "ambient_c": (
        "the room's range needs two temperatures between −40 and 60 °C",
        "write the lowest and the highest",
    ),
    "weights": ("a weight must be 0 or more", "write 1 for the usual weight, 0 to leave a test out"),
    "slot": ("no colour is chosen", "choose one that is free"),
    "measures": ("it is not said what a run leaves behind", "choose frame times or a score"),
    "locked_fps": ("a rate held on purpose must be above 0", "leave it empty where none is held"),
    "minutes": ("the minutes of a run must be above 0", "leave them empty where they are not known"),
    "state": ("the state has no word", "write stock, or your own word"),
    "build": ("it is not said of which build this is a state", "choose one"),
    "stamps": ("a value stands without its name", "write what it is, such as driver"),
    "settings": ("a value stands without its name", "write what it is, such as resolution"),
}
LIMITS = frozenset(
    {
        "missing", "string_too_short", "string_pattern_mismatch", "enum", "too_short", "too_long",
        "greater_than", "greater_than_equal", "less_than", "less_than_equal",
    }
)  # fmt: skip


def sound(checked: Checked[R]) -> R:
    """The record. Raises BadRecord that names the field, or all of them."""
    if checked.record is not None:
        return checked.record
    first, *others = checked.problems
    if not others:
        raise BadRecord(first.found, where=first.field, todo=first.todo)
    told = "; ".join(f"{each.field}: {each.found}" for each in checked.problems)
    fields = ", ".join(dict.fromkeys(each.field for each in checked.problems))
    raise BadRecord(
        f"{len(checked.problems)} things cannot be used: {told}", where=fields, todo="correct them"
    )


def checked_study(wb: Workbench, given: Given, *, named: bool = True) -> Checked[Study]:
    """A study; what it names must be on this workbench, with `named` what its audiences weigh, too."""
    table, problems = _table(StudyTable, given)
    if table is None:
        return Checked(record=None, problems=problems)
    study = from_tables.study_of(table, setups=(), tests=())
    groups = {test.group for test in shelves.every(wb, Test) if test.group and test.key in study.tests}
    weighed = worth.audience_names(study.audiences, groups=groups, tests=study.tests) if named else ()
    alone = worth.audience_problems(table.audiences, currency=table.currency)
    money = money_problems(table.money, study.currency)
    return _checked(study, (*checks.check_study(study, known_on(wb)), *alone, *weighed, *money))


def checked_test(given: Given) -> Checked[Test]:
    """A test, with the number it is judged by held against its definition."""
    table, problems = _table(TestTable, given)
    if table is None:
        return Checked(record=None, problems=problems)
    lacks = tuple(_lacks(table))
    if lacks:
        return Checked(record=None, problems=lacks)
    test = from_tables.test_of(table)
    return _checked(test, metric_problems([(0, test)]))


def checked_build(wb: Workbench, given: Given, *, beside: Sequence[Build]) -> Checked[Build]:
    """A build; `beside` are those that stand in the same charts, each in a colour of its own."""
    table, problems = _table(BuildTable, given)
    if table is None:
        return Checked(record=None, problems=problems)
    build = from_tables.build_of(table)
    worn = [(0, other) for other in beside if other.key != build.key]
    found = [*checks.check_build(build, 0, known_on(wb)), *checks.check_slots([*worn, (0, build)])]
    return _checked(build, found)


def checked_setup(wb: Workbench, given: Given) -> Checked[Setup]:
    """A setup; its build must be on this workbench."""
    table, problems = _table(SetupTable, given)
    if table is None:
        return Checked(record=None, problems=problems)
    names = {build.key: build.name for build in shelves.every(wb, Build)}
    setup = from_tables.setup_of(table, names.get(table.build, table.build))
    return _checked(setup, checks.check_setup(setup, 0, known_on(wb)))


def checked_part(given: Given) -> Checked[Part]:
    """A part."""
    table, problems = _table(PartTable, given)
    return Checked(record=None if table is None else from_tables.part_of(table), problems=problems)


def known_on(wb: Workbench) -> Known:
    """Every name on the workbench."""
    return Known(
        parts=frozenset(part.key for part in shelves.every(wb, Part)),
        builds=frozenset(build.key for build in shelves.every(wb, Build)),
        setups=frozenset(setup.key for setup in shelves.every(wb, Setup)),
        tests={test.key: test.measures for test in shelves.every(wb, Test)},
        layouts={},
    )


def _table(model: type[T], given: Given) -> tuple[T | None, tuple[FieldProblem, ...]]:
    try:
        return model.model_validate(given), ()
    except ValidationError as failed:
        errors = failed.errors(include_url=False)
        return None, tuple(_field_problem(model, error) for error in errors)


def _field_problem(model: type[Table], error: ErrorDetails) -> FieldProblem:
    field = str(error["loc"][0]) if error["loc"] else ""
    if field in FITTING and error["type"] in LIMITS:
        found, todo = FITTING[field]
        return FieldProblem(field=field, found=found, todo=todo)
    problem = problem_of(model, (), error)
    return FieldProblem(field=field, found=problem.found, todo=problem.todo)


def _lacks(table: TestTable) -> Iterator[FieldProblem]:
    """What a test must say, given what it measures."""
    if table.measures is Measures.FRAMES:
        if table.metric is None:
            yield FieldProblem(field="metric", found="no number is chosen", todo="choose what is compared")
        return
    if table.unit is None:
        yield FieldProblem(field="unit", found="the score has no unit", todo="write it, such as jobs/h")
    if table.direction is None:
        todo = "say whether a higher or a lower score is better"
        yield FieldProblem(field="direction", found="no direction is chosen", todo=todo)


def _checked(record: R, found: Iterable[Problem]) -> Checked[R]:
    problems = tuple(_at_field(problem) for problem in found)
    return Checked(record=None if problems else record, problems=problems)


def _at_field(problem: Problem) -> FieldProblem:
    """A problem of a file's table as one of a field; where it stands in the table is `path`'s second word."""
    field = next((step for step in problem.path[1:] if isinstance(step, str)), "")
    if field == "ambient_c":
        return FieldProblem(field=field, found=problem.found, todo="write the lower temperature first")
    found = problem.found.replace("of this file", "on this workbench")
    return FieldProblem(field=field, found=found, todo=problem.todo)
