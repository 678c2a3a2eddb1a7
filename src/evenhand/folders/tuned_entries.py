"""Tuned parts and trials of a whole study file, with what became of them: into entries and back."""

from __future__ import annotations

from collections import Counter
from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence
from dataclasses import asdict, replace
from typing import Any

from evenhand.folders.lines import Path
from evenhand.folders.problems import Problem
from evenhand.folders.study_folder import LimitEntry, TrialEntry, TunedEntry
from evenhand.folders.trial_tables import LimitInFile, TrialInFile, TunedInFile
from evenhand.folders.trials import (
    limit_of,
    limit_problems,
    own_key,
    trial_of,
    trial_problems,
    tuned_of,
    tuned_problems,
)
from evenhand.folders.turn_tables import turn_problems, turn_tables, turns_of
from evenhand.records.trials import Trial, Tuned
from evenhand.records.turns import why_gone

Place = tuple[str, str]
"""A setup and the kind of a part of it."""


def _limit_entry(table: LimitInFile) -> LimitEntry:
    return LimitEntry(limit=limit_of(table), turns=turns_of(table.turns))


def tuned_entry(table: TunedInFile) -> TunedEntry:
    """A tuned part with every limit that stands in a file."""
    return TunedEntry(part=tuned_of(table), limits=tuple(map(_limit_entry, table.limits)))


def trial_entry(table: TrialInFile) -> TrialEntry:
    """A trial with what became of it."""
    return TrialEntry(trial=trial_of(table), turns=turns_of(table.turns))


def tuned_in_file(entries: Sequence[tuple[int, TunedEntry]], *, setups: Collection[str]) -> Iterator[Problem]:
    """What is wrong with the tuned parts of a file, and with their limits."""
    yield from _twice(entries)
    for at, entry in entries:
        yield from tuned_problems(entry.part, at, setups=setups)
        for number, each in enumerate(entry.limits):
            place: Path = ("tuned", at, "limits", number)
            yield from turn_problems(each.turns, place)
            if why_gone(each.turns) is None:  # one that was taken back is held against nothing
                yield from limit_problems(each.limit, entry.part, place)


def _twice(entries: Sequence[tuple[int, TunedEntry]]) -> Iterator[Problem]:
    seen: set[Place] = set()
    for at, entry in entries:
        place = (entry.part.setup, entry.part.part)
        if place in seen:
            said = f"the {entry.part.part} of {entry.part.setup} stands there twice"
            yield Problem(path=("tuned", at, "part"), found=said, todo="keep one")
        seen.add(place)


def trials_in_file(
    entries: Sequence[tuple[int, TrialEntry]], tuned: Mapping[Place, Tuned], *, declared: Collection[Place]
) -> Iterator[Problem]:
    """What is wrong with the trials of a file. `declared` are parts it names, readable or not."""
    for at, entry in entries:
        trial, place = entry.trial, (entry.trial.setup, entry.trial.part)
        yield from turn_problems(entry.turns, ("trials", at))
        if place not in declared:
            said = f"the {trial.part} of {trial.setup} is no tuned part of this file"
            todo = "add it as [[tuned]], with its stock and its steps"
            yield Problem(path=("trials", at, "part"), found=said, todo=todo)
        elif place in tuned and why_gone(entry.turns) is None:  # as with limits
            yield from trial_problems(trial, tuned[place], ("trials", at))
    times = Counter(entry.trial.key for _, entry in entries if entry.trial.key)
    for at, entry in entries:
        if times[entry.trial.key] > 1:
            said = f"{times[entry.trial.key]} trials have the key '{entry.trial.key}'"
            yield Problem(path=("trials", at, "key"), found=said, todo="give each its own, or none")


def keyed(entries: Iterable[TrialEntry]) -> tuple[TrialEntry, ...]:
    """The trials, each with a key: two that tell the same are two trials, and the same two every time."""
    seen: Counter[str] = Counter()
    found = []
    for entry in entries:
        trial = entry.trial
        mark = own_key(trial, 0)
        seen[mark] += 1
        own = trial if trial.key else replace(trial, key=own_key(trial, seen[mark]))
        found.append(replace(entry, trial=own))
    return tuple(found)


def tuned_table(entry: TunedEntry) -> dict[str, Any]:
    """A tuned part with its limits as a table."""
    part = entry.part
    told = {name: value for name, value in asdict(part).items() if value is not None and name != "limits"}
    if not part.offset:
        del told["offset"]
    limits = [_limit_table(each) for each in entry.limits]
    return told | ({"limits": limits} if limits else {})


def _limit_table(entry: LimitEntry) -> dict[str, Any]:
    limit = entry.limit
    told = {"quantity": limit.quantity.value, "most": limit.most, "source": limit.source}
    return {**told, "read_on": limit.read_on, **turn_tables(entry.turns)}


def trial_table(entry: TrialEntry) -> dict[str, Any]:
    """A trial as a table; what is silent is not known, or nothing."""
    trial: Trial = entry.trial
    told = {name: value for name, value in asdict(trial).items() if name != "id"}
    told["outcome"] = trial.outcome.value
    told["errors"], told["corrected"] = trial.errors or None, trial.corrected or None
    told["watts_at"] = None if trial.watts_at is None else trial.watts_at.value
    known = {name: value for name, value in told.items() if value is not None and value not in ("", {})}
    return known | turn_tables(entry.turns)
