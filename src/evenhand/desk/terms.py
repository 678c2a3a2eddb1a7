"""What a study fixed in advance, and what was changed of it once runs were on record."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from evenhand.desk.names import names_of
from evenhand.desk.on_record import StudyOnRecord
from evenhand.folders.study_folder import StudyFolder
from evenhand.publish.numbers import capital, counted, listed, number, with_unit
from evenhand.store.history import Change, arrivals_of, history_of
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
}
# What only names, describes or plans: no finding and no fault depends on it.
DESCRIPTIVE: Mapping[str, tuple[str, ...]] = {
    "study": ("key", "title", "question", "audience", "budget"),
    "test": ("key", "name", "stresses", "scene", "minutes"),
    "setup": ("key", "name"),
}
SEVERAL = ("weights", "also", "settings", "stamps")  # of these one says "were"


@dataclass(frozen=True, slots=True, kw_only=True)
class FieldChange:
    """One field of one record that became another.

    `record` is "study", "test", "setup", "run" or "layout".
    """

    id: int
    at: datetime
    record: str
    key: str
    field: str
    before: Any
    after: Any


@dataclass(frozen=True, slots=True, kw_only=True)
class ChangedTerm:
    """A term of a study that was changed when `runs` runs were on record; `words` is the reservation."""

    change: FieldChange
    runs: int
    words: str


def changes_of(wb: Workbench, record: StudyOnRecord) -> tuple[FieldChange, ...]:
    """Every change of the study's own record, its tests and its setups, the first first."""
    return changes_at(wb, record.study.key, tests=record.tests, setups=record.setups)


def changes_known(wb: Workbench, found: StudyFolder) -> frozenset[int] | None:
    """Which changes of what a folder brings are on record already; None where the study is new."""
    if not any(change.before is None for change in history_of(wb, "studies", found.study.key)):
        return None
    return frozenset(each.id for each in changes_of_folder(wb, found))


def changes_since(wb: Workbench, found: StudyFolder, known: frozenset[int]) -> tuple[FieldChange, ...]:
    """Which came with the folder."""
    return tuple(each for each in changes_of_folder(wb, found) if each.id not in known)


def changes_of_folder(wb: Workbench, found: StudyFolder) -> tuple[FieldChange, ...]:
    """Every change of the study, the tests and the setups that a folder brings."""
    tests, setups = ((each.key for each in records) for records in (found.tests, found.setups))
    return changes_at(wb, found.study.key, tests=tests, setups=setups)


def changes_at(
    wb: Workbench, study: str, *, tests: Iterable[str], setups: Iterable[str]
) -> tuple[FieldChange, ...]:
    """Every change of these records, by their keys."""
    places = [
        ("study", "studies", study),
        *(("test", "tests", key) for key in tests),
        *(("setup", "setups", key) for key in setups),
    ]
    found = [
        each
        for noun, table, key in places
        for change in history_of(wb, table, key)
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
            )


def changed_terms(wb: Workbench, record: StudyOnRecord) -> tuple[ChangedTerm, ...]:
    """The terms of the study that were changed after its first run was on record."""
    changes = [each for each in changes_of(wb, record) if is_term(each, record)]
    if not changes:
        return ()
    # A folder that was exported tells when its runs came in first; here they came in once more.
    arrivals: dict[str, int] = {}
    for arrival in arrivals_of(wb, record.study.key):
        arrivals.setdefault(arrival.key, arrival.id)
    counts = ((each, sum(arrival < each.id for arrival in arrivals.values())) for each in changes)
    return tuple(
        ChangedTerm(change=each, runs=runs, words=reservation(each, runs, record))
        for each, runs in counts
        if runs
    )


def is_term(change: FieldChange, record: StudyOnRecord) -> bool:
    """Whether a change bears on what the comparison says."""
    compared = {"test": record.study.tests, "setup": record.study.setups}.get(change.record)
    within = compared is None or change.key in compared
    return within and change.field in TERMS.get(change.record, {})


def on_pictures(terms: Sequence[ChangedTerm], *, test: str | None = None) -> tuple[str, ...]:
    """What a picture's foot says of terms that were changed, such as "Margin changed after 12 runs.".

    With `test` for a picture of that test alone, which other tests' terms do not concern.
    """
    told: dict[str, int] = {}
    for term in terms:
        change = term.change
        if test is None or change.record != "test" or change.key == test:
            # Of a term that was moved more than once the last move saw the most runs.
            told[TERMS[change.record][change.field]] = term.runs
    by_runs: dict[int, list[str]] = {}
    for what in (name for fields in TERMS.values() for name in fields.values() if name in told):
        by_runs.setdefault(told[what], []).append(what)
    return tuple(
        f"{capital(listed(tuple(whats)))} changed after {counted(runs, 'run')}."
        for runs, whats in by_runs.items()
    )


def reservation(change: FieldChange, runs: int, record: StudyOnRecord) -> str:
    """A changed term as a sentence."""
    what = TERMS[change.record][change.field]
    if change.record != "study":
        what += f" {'in' if change.record == 'test' else 'of'} {name_of(change.key, record)}"
    verb = "were" if change.field in SEVERAL else "was"
    before, after = (value_words(change.field, value, record) for value in (change.before, change.after))
    had = counted(runs, "run was", "runs were")
    return (
        f"The {what} {verb} changed from {before} to {after} on {change.at:%Y-%m-%d}, after {had} on record."
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
    "weights": _weights,
    "settings": _named_values,
    "stamps": _named_values,
    "locked_fps": _rate,
}
