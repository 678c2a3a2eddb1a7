"""What a study fixed in advance, and what was changed of it once runs were on record."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from evenhand.desk.handed_names import handed_names
from evenhand.desk.names import names_of
from evenhand.desk.on_record import RunOnRecord, StudyOnRecord
from evenhand.folders.study_folder import StudyFolder
from evenhand.publish.numbers import capital, counted, listed, number, with_unit
from evenhand.records.builds import Build, Part, Setup
from evenhand.records.studies import Study
from evenhand.records.tests import Test
from evenhand.store.history import Change, arrivals_of, history_of, run_changes_of
from evenhand.store.workbench import Workbench

# What findings or triage read, by the record and its field, and what it is called.
TERMS: Mapping[str, Mapping[str, str]] = {
    "study": {
        "margin": "margin",
        "boot_allowance": "allowance for one boot",
        "ambient_c": "room temperature range",
        "setups": "list of setups",
        "tests": "list of tests",
        "weights": "weights",
    },
    "test": {
        "measures": "sort of number",
        "metric": "number compared",
        "unit": "unit",
        "direction": "better direction",
        "also": "further numbers compared",
        "group": "group",
        "version": "version",
        "settings": "settings",
        "locked_fps": "rate held on purpose",
        "free_length": "free length",
    },
    "setup": {"build": "build", "state": "state", "stamps": "stamps"},
    "build": {"parts": "parts"},
    "part": {"kind": "kind of a part", "name": "name of a part"},
    "run": {"score": "score"},
}
# What only names, describes or plans: no finding and no fault depends on it.
DESCRIPTIVE: Mapping[str, tuple[str, ...]] = {
    "study": ("key", "title", "question", "audience", "budget"),
    "test": ("key", "name", "stresses", "scene", "minutes"),
    "setup": ("key", "name"),
    "build": ("key", "name", "slot", "note"),
    "part": ("key", "note"),
}
TABLES: Mapping[str, str] = {
    "study": "studies",
    "test": "tests",
    "setup": "setups",
    "build": "builds",
    "part": "parts",
}
NAMED = ("test", "setup", "build")  # whose names tell a reader which is which
NAMES = "names"
SEVERAL = ("weights", "also", "settings", "stamps", "parts")  # of these one says "were"


@dataclass(frozen=True, slots=True, kw_only=True)
class FieldChange:
    """One field of one record that became another.

    `record` is "study", "test", "setup", "build", "part", "run" or "layout"; `label` is what a run was called
    then.
    """

    id: int
    at: datetime
    record: str
    key: str
    field: str
    before: Any
    after: Any
    label: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class ChangedTerm:
    """A term or a score that was changed when `runs` runs were on record; `words` is the reservation.

    `test` is the test that it is of, "" where it bears on all.
    """

    change: FieldChange
    runs: int
    words: str
    test: str = ""


def changes_of(wb: Workbench, record: StudyOnRecord) -> tuple[FieldChange, ...]:
    """Every change of the study's own record, its tests, setups, builds and parts, the first first."""
    keys = {"study": (record.study.key,), "test": record.tests, "setup": record.setups}
    return changes_at(wb, {**keys, "build": record.builds, "part": parts_of(record.builds.values())})


def parts_of(builds: Iterable[Build]) -> tuple[str, ...]:
    """The keys of all parts of these builds."""
    return tuple(dict.fromkeys(part for build in builds for part in build.parts))


def changes_known(wb: Workbench, found: StudyFolder) -> frozenset[int] | None:
    """Which changes of what a folder brings are on record already; None where the study is new."""
    if not any(change.before is None for change in history_of(wb, "studies", found.study.key)):
        return None
    return frozenset(each.id for each in changes_of_folder(wb, found))


def changes_since(wb: Workbench, found: StudyFolder, known: frozenset[int]) -> tuple[FieldChange, ...]:
    """Which came with the folder."""
    return tuple(each for each in changes_of_folder(wb, found) if each.id not in known)


def changes_of_folder(wb: Workbench, found: StudyFolder) -> tuple[FieldChange, ...]:
    """Every change of the study and of each record that a folder brings, and of its runs' scores."""
    brought: Mapping[str, Sequence[Study | Test | Setup | Build | Part]] = {
        "study": (found.study,),
        "test": found.tests,
        "setup": found.setups,
        "build": found.builds,
        "part": found.parts,
    }
    of_records = changes_at(wb, {noun: [each.key for each in records] for noun, records in brought.items()})
    return tuple(sorted((*of_records, *changes_of_scores(wb, found.study.key)), key=lambda each: each.id))


def changes_of_scores(wb: Workbench, study: str) -> Iterator[FieldChange]:
    """Each score of a study's runs that became another; a first score of a run that had none is no change."""
    had: set[str] = set()
    for change in run_changes_of(wb, study):
        for each in fields_of(change, "run"):
            if each.field == "score" and (each.before is not None or each.key in had):
                had.add(each.key)
                yield each


def changes_at(wb: Workbench, places: Mapping[str, Iterable[str]]) -> tuple[FieldChange, ...]:
    """Every change of these records, by what they are and their keys."""
    found = [
        each
        for noun, keys in places.items()
        for key in keys
        for change in history_of(wb, TABLES[noun], key)
        for each in fields_of(change, noun)
    ]
    return tuple(sorted(found, key=lambda each: each.id))


def fields_of(change: Change, noun: str) -> Iterator[FieldChange]:
    """Each field that one change of a record touched; none where the record was new."""
    if change.before is None:
        return
    for field, after in change.after.items():
        before = change.before.get(field)
        if before != after:
            yield FieldChange(
                id=change.id,
                at=change.at,
                record=noun,
                key=change.key,
                field=field,
                before=before,
                after=after,
                label=str(change.after.get("label", "")),
            )


def changed_terms(wb: Workbench, record: StudyOnRecord) -> tuple[ChangedTerm, ...]:
    """What was changed of the study once runs were on record: terms, scores, and names that changed hands."""
    of_records = changes_of(wb, record)
    handed = {change.id: said for change, said in handed_names(of_records, names_today(record))}
    known = sorted((*of_records, *changes_of_scores(wb, record.study.key)), key=lambda each: each.id)
    changes = [each for each in known if is_term(each, record) or is_handed(each, handed, record)]
    if not changes:
        return ()
    # A folder that was exported tells when its runs came in first; here they came in once more.
    arrivals: dict[str, int] = {}
    for arrival in arrivals_of(wb, record.study.key):
        arrivals.setdefault(arrival.key, arrival.id)
    counts = ((each, sum(arrival < each.id for arrival in arrivals.values())) for each in changes)
    return tuple(
        ChangedTerm(
            change=each,
            runs=runs,
            words=(
                handed_words(each, runs, handed[each.id])
                if is_handed(each, handed, record)
                else reservation(each, runs, record)
            ),
            test=test_of(each, record),
        )
        for each, runs in counts
        if runs
    )


def names_today(record: StudyOnRecord) -> dict[tuple[str, str], str]:
    """What each test, setup and build of the study is called, by what it is and its key."""
    named: Mapping[str, Mapping[str, Test | Setup | Build]] = {
        "test": record.tests,
        "setup": record.setups,
        "build": record.builds,
    }
    return {(noun, key): each.name for noun, records in named.items() for key, each in records.items()}


def is_handed(change: FieldChange, handed: Mapping[int, str], record: StudyOnRecord) -> bool:
    """Whether a change gave something that is compared a name that another one had, or took its name away."""
    compared = change.record in NAMED and change.key in compared_of(change.record, record)
    return compared and change.field == "name" and change.id in handed


def handed_words(change: FieldChange, runs: int, said: str) -> str:
    """A name that changed hands as a sentence; by its key, since the name alone would mislead."""
    return (
        f"The name of the {change.record} '{change.key}' was changed from {change.before} to {change.after} "
        f"on {change.at:%Y-%m-%d}, after {counted(runs, 'run was', 'runs were')} on record: {said}."
    )


def test_of(change: FieldChange, record: StudyOnRecord) -> str:
    """The test that a change is of; "" where it bears on all of them."""
    if change.record == "run":
        return run_on_record(change.key, record).run.test
    return change.key if change.record == "test" else ""


def run_on_record(key: str, record: StudyOnRecord) -> RunOnRecord:
    """The run of the study under this id."""
    return next(each for each in record.runs if each.run.id == key)


def is_term(change: FieldChange, record: StudyOnRecord) -> bool:
    """Whether a change bears on what the comparison says."""
    if change.record == "run":
        return record.compares(run_on_record(change.key, record))
    within = change.record == "study" or change.key in compared_of(change.record, record)
    return within and change.field in TERMS.get(change.record, {})


def compared_of(noun: str, record: StudyOnRecord) -> tuple[str, ...]:
    """The keys of the tests, setups, builds or parts that are compared."""
    if noun in ("test", "setup"):
        return record.study.tests if noun == "test" else record.study.setups
    builds = dict.fromkeys(record.setups[key].build for key in record.study.setups)
    return tuple(builds) if noun == "build" else parts_of(record.builds[key] for key in builds)


def on_pictures(terms: Sequence[ChangedTerm], *, test: str | None = None) -> tuple[str, ...]:
    """What a picture's foot says of terms that were changed, such as "Margin changed after 12 runs.".

    With `test` for a picture of that test alone, which other tests' terms do not concern.
    """
    told: dict[str, int] = {}
    scores: set[str] = set()
    for term in terms:
        change = term.change
        if test is not None and term.test not in ("", test):
            continue
        if change.record == "run":
            scores.add(change.key)
        else:
            # Of a term that was moved more than once the last move saw the most runs.
            told[TERMS[change.record].get(change.field, NAMES)] = term.runs
    by_runs: dict[int, list[str]] = {}
    terms_told = (name for fields in TERMS.values() for name in fields.values() if name in told)
    for what in (*terms_told, *(name for name in (NAMES,) if name in told)):
        by_runs.setdefault(told[what], []).append(what)
    return (
        *(
            f"{capital(listed(tuple(whats)))} changed after {counted(runs, 'run')}."
            for runs, whats in by_runs.items()
        ),
        *_on_scores(len(scores)),
    )


def _on_scores(scores: int) -> Iterator[str]:
    if scores:
        late = "it was" if scores == 1 else "they were"
        yield f"{capital(counted(scores, 'score'))} changed after {late} in."


def reservation(change: FieldChange, runs: int, record: StudyOnRecord) -> str:
    """A changed term or score as a sentence."""
    if change.record == "run":
        return score_words(change, runs, record)
    what = TERMS[change.record][change.field]
    if change.record == "part":
        what += f", {change.key},"
    elif change.record == "build":
        what += f" of {record.builds[change.key].name}"
    elif change.record != "study":
        what += f" {'in' if change.record == 'test' else 'of'} {name_of(change.key, record)}"
    verb = "were" if change.field in SEVERAL else "was"
    before, after = (value_words(change.field, value, record) for value in (change.before, change.after))
    had = counted(runs, "run was", "runs were")
    return (
        f"The {what} {verb} changed from {before} to {after} on {change.at:%Y-%m-%d}, after {had} on record."
    )


def score_words(change: FieldChange, runs: int, record: StudyOnRecord) -> str:
    """A rewritten score as a sentence, in its test's unit."""
    run = run_on_record(change.key, record).run
    unit = record.tests[run.test].unit
    before, after = (
        "none" if value is None else with_unit(f"{value:.12g}", unit)
        for value in (change.before, change.after)
    )
    return (
        f"The score of {run.label} was changed from {before} to {after} on {change.at:%Y-%m-%d}, "
        f"with {counted(runs, 'run')} on record."
    )


def value_words(field: str, value: Any, record: StudyOnRecord) -> str:
    """The value of a term as one says it."""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if not value and value != 0:
        return "none"
    worded = _WORDED.get(field)
    return str(value) if worded is None else worded(value, record)


def _percent(value: float, _record: StudyOnRecord) -> str:
    return with_unit(f"{100 * value:.4g}", "%")


def _range(value: list[float], _record: StudyOnRecord) -> str:
    return with_unit(f"{value[0]:g} to {value[1]:g}", "°C")


def _list(value: list[str], record: StudyOnRecord) -> str:
    return ", ".join(name_of(key, record) for key in value)


def _keys(value: list[str], _record: StudyOnRecord) -> str:
    return ", ".join(value)


def _weights(value: Mapping[str, float], record: StudyOnRecord) -> str:
    return ", ".join(f"{name_of(key, record)} {number(weight, 2)}" for key, weight in value.items())


def _rate(value: float, _record: StudyOnRecord) -> str:
    return with_unit(f"{value:g}", "fps")


def _named_values(value: Mapping[str, str], _record: StudyOnRecord) -> str:
    return ", ".join(f"{key} {each}" for key, each in value.items())


def name_of(key: str, record: StudyOnRecord) -> str:
    """What a test or setup is called; its key where it is not on record with this study."""
    names = names_of(record)
    if key in record.tests:
        return names.test(key)
    return names.setup(key) if key in record.setups else key


_WORDED: Mapping[str, Callable[[Any, StudyOnRecord], str]] = {
    "margin": _percent,
    "boot_allowance": _percent,
    "ambient_c": _range,
    "setups": _list,
    "tests": _list,
    "also": _list,
    "parts": _keys,
    "weights": _weights,
    "settings": _named_values,
    "stamps": _named_values,
    "locked_fps": _rate,
}
