"""Changed terms in words: the reservation that stands with a comparison."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

from evenhand.desk.names import names_of
from evenhand.desk.on_record import StudyOnRecord
from evenhand.desk.study.field_changes import FieldChange
from evenhand.desk.study.term_fields import SEVERAL, TERMS
from evenhand.publish.money_words import amount
from evenhand.publish.numbers import as_written, counted, number, with_unit
from evenhand.publish.window_words import window_words
from evenhand.records.windows import WHOLE, Window


def reservation(
    change: FieldChange, runs: int, record: StudyOnRecord, *, parts: Mapping[str, str] | None = None
) -> str:
    """A changed term or score as a sentence; `parts` has what parts are called, by key."""
    called = parts or {}
    if change.record == "run" and change.field == "window":
        return cut_words(change, runs, record)
    if change.record == "run":
        return score_words(change, runs, record)
    what = TERMS[change.record][change.field]
    if change.record == "part":
        own = change.key if change.field == "name" else called.get(change.key, change.key)
        what += f", {own},"
    elif change.record == "build":
        what += f" of {record.builds[change.key].name}"
    elif change.record != "study":
        what += f" {'in' if change.record == 'test' else 'of'} {name_of(change.key, record)}"
    verb = "were" if change.field in SEVERAL else "was"
    before, after = (
        value_words(change.field, _named(change.field, value, called), record)
        for value in (change.before, change.after)
    )
    had = counted(runs, "run was", "runs were")
    return (
        f"The {what} {verb} changed from {before} to {after} on {change.at:%Y-%m-%d}, after {had} on record."
    )


def _named(field: str, value: Any, parts: Mapping[str, str]) -> Any:
    return [parts.get(key, key) for key in value] if field == "parts" else value


def handed_words(change: FieldChange, runs: int, said: str) -> str:
    """A name that changed hands as a sentence; by its key, since the name alone would mislead."""
    return (
        f"The name of the {change.record} '{change.key}' was changed from {change.before} to {change.after} "
        f"on {change.at:%Y-%m-%d}, after {counted(runs, 'run was', 'runs were')} on record: {said}."
    )


def score_words(change: FieldChange, runs: int, record: StudyOnRecord) -> str:
    """A rewritten score as a sentence, in its test's unit."""
    run = record.run(change.key).run
    unit = record.tests[run.test].unit
    before, after = (
        "none" if value is None else with_unit(as_written(value), unit)
        for value in (change.before, change.after)
    )
    return (
        f"The score of {run.label} was changed from {before} to {after} on {change.at:%Y-%m-%d}, "
        f"with {counted(runs, 'run')} on record."
    )


def cut_words(change: FieldChange, runs: int, record: StudyOnRecord) -> str:
    """A run that was cut otherwise than its siblings, or no longer is, as a sentence."""
    label, had = record.run(change.key).run.label, counted(runs, "run")
    if change.after is None:
        return f"{label} is measured as its test says again since {change.at:%Y-%m-%d}, with {had} on record."
    return (
        f"{label} was cut otherwise than its siblings on {change.at:%Y-%m-%d}, to "
        f"{_window(change.after, record)}, with {had} on record."
    )


def value_words(field: str, value: Any, record: StudyOnRecord) -> str:
    """The value of a term as one says it."""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if field == "window" and value is None:
        return window_words(WHOLE)
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


def _audiences(value: list[dict[str, Any]], record: StudyOnRecord) -> str:
    return "; ".join(f"{each['name']} ({_shares(each, record)})" for each in value)


def _shares(audience: Mapping[str, Any], record: StudyOnRecord) -> str:
    """What an audience weighs, in its own numbers, and what it must buy besides."""
    tests = [f"{name_of(key, record)} {weight:g}" for key, weight in audience["tests"].items()]
    groups = [f"{name} {weight:g}" for name, weight in audience["groups"].items()]
    properties = [f"{name} {weight:g}" for name, weight in audience["properties"].items()]
    currency, minor = record.study.currency, audience.get("fixed_minor", 0)
    fixed = [f"must buy for {amount(minor, currency)}"] if minor and currency else []
    return ", ".join((*groups, *tests, *(properties if len(properties) > 1 else ()), *fixed))


def _rate(value: float, _record: StudyOnRecord) -> str:
    return with_unit(f"{value:g}", "fps")


def _script(value: Mapping[str, Any], _record: StudyOnRecord) -> str:
    return f"'{value['command']}'"


def _window(value: Mapping[str, Any], _record: StudyOnRecord) -> str:
    window = Window(**value)
    because = f" (“{window.reason}”)" if window.reason else ""
    return f"{window_words(window).removeprefix('from ')}{because}"


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
    "audiences": _audiences,
    "settings": _named_values,
    "stamps": _named_values,
    "locked_fps": _rate,
    "script": _script,
    "window": _window,
}
