"""The text of a study file into a StudyFolder, or one error that tells everything wrong with it."""

from __future__ import annotations

import re
import tomllib
from collections.abc import Iterator
from dataclasses import dataclass
from typing import TypeVar

from evenhand.errors import BadRecord
from evenhand.folders import checks, from_tables, worth
from evenhand.folders.batches import read_runs
from evenhand.folders.checks import Known
from evenhand.folders.entries import Document, entries_of, is_list_of_tables, raw_of
from evenhand.folders.fact_tables import FactInFile, facts_in, repeated_facts
from evenhand.folders.lines import lines_of
from evenhand.folders.misspelt import respelt, unknown_tables
from evenhand.folders.money_terms import money_problems
from evenhand.folders.noted_tables import (
    heat_in,
    offers_in,
    prices_in,
    rates_in,
    sound_in,
    trials_in,
    tuned_in,
)
from evenhand.folders.photo_tables import photos_of
from evenhand.folders.problems import Problem, refusal
from evenhand.folders.study_file import (
    FORMAT,
    SINGLE,
    TABLES,
    BuildInFile,
    LayoutTable,
    PartInFile,
    PastTable,
    SetupTable,
    StudyTable,
    TestTable,
)
from evenhand.folders.study_folder import (
    NO_PAST,
    LayoutEntry,
    PastLines,
    PhotoEntry,
    StudyFolder,
)
from evenhand.folders.wording import checked
from evenhand.records.builds import Build, Part, Setup
from evenhand.records.layouts import LogKind
from evenhand.records.studies import Study
from evenhand.records.tests import Measures, Test

TOP_LEVEL = ("format", "batches", *TABLES)
_Member = TypeVar("_Member", Measures, LogKind)


def read_study(text: str, *, where: str) -> StudyFolder:
    """Read the text of a study file; `where` names it in errors.

    Raises BadRecord with every problem found: each with its line, its table, what is wrong, and the
    nearest known key or name. File names are checked for shape only: nothing here touches the disk.

    >>> text = '''[study]
    ... key = "quick"
    ... title = "A quick look"
    ... margn = 0.02'''
    >>> read_study(text, where="study.toml")
    Traceback (most recent call last):
    evenhand.errors.BadRecord: study.toml, line 4, [study], margn: unknown key 'margn'; did you mean 'margin'?
    """
    draft = drafted(text, where=where)
    if draft.problems:
        raise refusal(draft.problems, where=where, lines=lines_of(draft.text))
    return draft.folder


@dataclass(frozen=True, slots=True, kw_only=True)
class Draft:
    """A study file as far as it can be read: with `problems` it is only good for finding more of them.

    `tests` are its sound tests, each with its number in the file, `facts` those of its parts. `text` is the
    file's with misspelt tables called what they are meant to be; its lines are the file's.
    """

    text: str
    folder: StudyFolder
    tests: tuple[tuple[int, Test], ...]
    facts: tuple[FactInFile, ...]
    problems: tuple[Problem, ...]


def drafted(text: str, *, where: str) -> Draft:
    """Read the text of a study file as far as it goes. Raises BadRecord where it is not TOML at all."""
    document = _parsed(text, where)
    problems = list(unknown_tables(text, document, TOP_LEVEL))
    text, document = respelt(text, document, TOP_LEVEL)
    problems.extend(_top_level(document))
    folder, tests, facts = _folder(document, problems)
    return Draft(text=text, folder=folder, tests=tests, facts=facts, problems=tuple(problems))


def _parsed(text: str, where: str) -> Document:
    try:
        return tomllib.loads(text)
    except tomllib.TOMLDecodeError as failed:
        said = re.fullmatch(r"(?s)(.*) \(at (line \d+, column \d+|end of document)\)", str(failed))
        what, place = said.groups() if said else (str(failed), "somewhere")
        todo = "correct it there; the format's page shows every table"
        raise BadRecord(f"this is not TOML: {what}", where=f"{where}, {place}", todo=todo) from failed
    except (RecursionError, ValueError) as failed:
        what = "it is nested too deeply" if isinstance(failed, RecursionError) else str(failed)
        raise BadRecord(f"this is no study file: {what}", where=where, todo="write it anew") from failed


def _top_level(document: Document) -> Iterator[Problem]:
    """Tables written as something else, and a format of a later day."""
    for name, given in document.items():
        if name in TOP_LEVEL and name not in ("format", *SINGLE) and not is_list_of_tables(given):
            yield Problem(path=(name,), found=f"'{name}' is not a list of tables", todo=f"write [[{name}]]")
    if "study" not in document:
        yield Problem(path=(), found="the table [study] is missing", todo="add it with key and title")
    form = document.get("format", FORMAT)
    if form != FORMAT or isinstance(form, bool):
        said = f"format is {form!r}, and this program reads format {FORMAT}"
        yield Problem(path=("format",), found=said, todo="use a newer Evenhand, or write format = 1")


def _folder(
    document: Document, problems: list[Problem]
) -> tuple[StudyFolder, tuple[tuple[int, Test], ...], tuple[FactInFile, ...]]:
    """Read every table, add what is wrong to `problems`, put together what is sound; tests, facts besides."""
    known = _known(document)
    declared = _declared(document, problems, known)
    runs = read_runs(raw_of(document, "runs"), raw_of(document, "batches"), known, problems)
    study = _study(document, declared, known, problems)
    past = checked(PastTable, document["past"], ("past",), problems) if "past" in document else None
    tests = tuple((at, from_tables.test_of(test)) for at, test in declared.tests)
    problems.extend(problem for at, test in tests for problem in checks.check_test(test, at))
    tuned = tuned_in(document, known, problems)
    folder = StudyFolder(
        study=study,
        parts=declared.parts,
        facts=tuple(each.fact for each in declared.facts),
        builds=declared.builds,
        setups=declared.setups,
        tests=tuple(test for _, test in tests),
        layouts=declared.layouts,
        runs=runs,
        prices=prices_in(document, study.currency, known, problems),
        sound=sound_in(document, known, problems),
        offers=offers_in(document, study.currency, known, problems),
        rates=rates_in(document, problems),
        tuned=tuned,
        trials=trials_in(document, tuned, problems),
        heat=heat_in(document, known, problems),
        photos=declared.photos,
        past=PastLines(changes=past.changes, results=past.results) if past else NO_PAST,
    )
    return folder, tests, declared.facts


def _study(document: Document, declared: _Declared, known: Known, problems: list[Problem]) -> Study:
    """The study itself; where it cannot be read, one that only names what else is declared."""
    table = checked(StudyTable, document["study"], ("study",), problems) if "study" in document else None
    study = from_tables.study_of(
        table or StudyTable(key="study", title="?"),
        setups=[s.key for s in declared.setups],
        tests=[t.key for _, t in declared.tests],
    )
    if table is not None:
        problems.extend(checks.check_study(study, known))
        problems.extend(worth.audience_problems(table.audiences, currency=table.currency))
        problems.extend(money_problems(table.money, study.currency))
        groups = {test.group for _, test in declared.tests if test.group}
        problems.extend(worth.audience_names(study.audiences, groups=groups, tests=study.tests))
    return study


def _known(document: Document) -> Known:
    """Every name the file declares, sound table or not, so that one mistake is not told twice."""

    def names(table: str, key: str = "key") -> list[tuple[str, Document]]:
        return [(raw[key], raw) for raw in raw_of(document, table) if isinstance(raw.get(key), str)]

    return Known(
        parts=frozenset(name for name, _ in names("parts")),
        builds=frozenset(name for name, _ in names("builds")),
        setups=frozenset(name for name, _ in names("setups")),
        tests={name: _member(Measures, raw.get("measures")) for name, raw in names("tests")},
        layouts={name: _member(LogKind, raw.get("kind")) for name, raw in names("layouts", "name")},
    )


def _member(members: type[_Member], given: object) -> _Member | None:
    return next((member for member in members if member == given), None)


@dataclass(frozen=True, slots=True, kw_only=True)
class _Declared:
    """What the file declares, apart from the study and its runs."""

    parts: tuple[Part, ...]
    facts: tuple[FactInFile, ...]
    builds: tuple[Build, ...]
    photos: tuple[PhotoEntry, ...]
    setups: tuple[Setup, ...]
    tests: list[tuple[int, TestTable]]
    layouts: tuple[LayoutEntry, ...]


def _declared(document: Document, problems: list[Problem], known: Known) -> _Declared:
    parts = entries_of(document, "parts", PartInFile, problems)
    facts = tuple(f for at, part in parts for f in facts_in((at, part.key, part.kind), part.facts))
    problems.extend(repeated_facts(facts))
    machines = entries_of(document, "builds", BuildInFile, problems)
    builds = [(at, from_tables.build_of(table)) for at, table in machines]
    names = {build.key: build.name for _, build in builds}
    setups = [
        (at, from_tables.setup_of(table, names.get(table.build, table.build)))
        for at, table in entries_of(document, "setups", SetupTable, problems)
    ]
    tests = entries_of(document, "tests", TestTable, problems)
    for table, keyed in (("parts", parts), ("builds", builds), ("setups", setups), ("tests", tests)):
        problems.extend(checks.repeated(table, [(at, entry.key) for at, entry in keyed]))
    problems.extend(checks.check_slots(builds))
    problems.extend(p for at, build in builds for p in checks.check_build(build, at, known))
    problems.extend(p for at, setup in setups for p in checks.check_setup(setup, at, known))
    problems.extend(p for at, test in tests for p in from_tables.test_lacks(test, at))
    return _Declared(
        parts=tuple(from_tables.part_of(table) for _, table in parts),
        facts=facts,
        builds=tuple(build for _, build in builds),
        photos=tuple(photo for _, table in machines for photo in photos_of(table.key, table.photos)),
        setups=tuple(setup for _, setup in setups),
        tests=tests,
        layouts=_layouts(document, problems),
    )


def _layouts(document: Document, problems: list[Problem]) -> tuple[LayoutEntry, ...]:
    tables = entries_of(document, "layouts", LayoutTable, problems)
    entries = [(at, from_tables.layout_of(table)) for at, table in tables]
    problems.extend(checks.repeated("layouts", [(at, entry.name) for at, entry in entries], "name"))
    problems.extend(p for at, table in tables for p in from_tables.unknown_roles(table, at))
    problems.extend(p for at, entry in entries for p in checks.check_layout(entry, at))
    return tuple(entry for _, entry in entries)
