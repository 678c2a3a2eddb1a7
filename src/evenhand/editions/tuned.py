"""Tuned parts out of a snapshot: limits, trials and claims, by names that stay from edition to edition."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import replace
from typing import Any

from evenhand.editions.snapshot import Snapshot, Table
from evenhand.publish.direction import isolated
from evenhand.publish.tuning.readers import settings_words, state_words, tuned_at_words
from evenhand.publish.tuning.words import note_words, setting_words, tuned_words
from evenhand.records.trials import Outcome, Tuned
from evenhand.tuning.figured import Of

_OF_HOURS = frozenset({"claim", "hours", "failures", "bound", "clock", "voltage"})
_FIGURED = frozenset(of.value for of in Of)
OF_TUNING = _OF_HOURS | _FIGURED
"""Sorts of figures that are of tuned parts alone: those of their hours, and what else is known of them."""

_PROGRAM_S_OWN = frozenset({"words", "at", "more", "may", "may_not", "doubts", "withheld", "against"})


def part_name(row: Table) -> str:
    """A tuned part by its keys."""
    return f"{row['part']} of {row['setup']}"


def series_name(part: Table, said: Table) -> str:
    """One series of it: under which load, and what else was set."""
    return f"{part_name(part)} under {', '.join((isolated(said['load']), *setting_words(said['settings'])))}"


def trial_rows(snapshot: Snapshot) -> Iterator[Table]:
    """Every trial of every part, those taken back, too."""
    for part in snapshot.tuning:
        yield from ({"setup": part["setup"], "part": part["part"], **row} for row in part["trials"])


def limit_rows(snapshot: Snapshot) -> Iterator[Table]:
    """Every limit of every part."""
    for part in snapshot.tuning:
        yield from ({"setup": part["setup"], "part": part["part"], **row} for row in part["limits"])


def said_rows(snapshot: Snapshot) -> Iterator[Table]:
    """What was said of each series, with the part that it is of."""
    for part in snapshot.tuning:
        yield from ({"setup": part["setup"], "part": part["part"], **row} for row in part["said"])


def trial_name(row: Table) -> str:
    """A trial by its part and its own key."""
    return f"{part_name(row)}, {row['key']}"


def stock_words(part: Table) -> str:
    """Stock, steps and hottest room of a part, as a sentence."""
    own = ("setup", "part", "stock_clock_mhz", "stock_voltage_mv", "clock_step_mhz", "voltage_step_mv",
           "offset", "hottest_room_c")  # fmt: skip
    return tuned_words(Tuned(**{name: part[name] for name in own}))


def limits_told(snapshot: Snapshot) -> Mapping[str, str]:
    """Limits of the makers, by what they limit."""
    found: dict[str, list[str]] = {}
    for row in limit_rows(snapshot):
        said = f"{row['most']:g} {row['unit']} ({isolated(row['source'])}, read on {row['read_on']})"
        found.setdefault(f"{row['quantity']} of the {part_name(row)}", []).append(said)
    return {name: "; ".join(sorted(said)) for name, said in found.items()}


def trials_told(snapshot: Snapshot) -> Mapping[str, str]:
    """Trials by their keys: each in a line, with the reason where it was taken back."""
    return {
        trial_name(row): row["words"]
        + (f"; taken back: {note_words(row['taken_back'])}" if row["taken_back"] is not None else "")
        for row in trial_rows(snapshot)
    }


def failing(snapshot: Snapshot) -> frozenset[str]:
    """Trials that count and failed, by the same names."""
    return frozenset(
        trial_name(row)
        for row in trial_rows(snapshot)
        if row["taken_back"] is None and (Outcome(row["outcome"]).failed or row.get("errors"))
    )


def called_told(snapshot: Snapshot) -> Mapping[str, str]:
    """What each part may be called under each load."""
    return {
        series_name(row, row): f"{row['claim']['at']}: {row['claim']['may']}"
        for row in said_rows(snapshot)
        if row["claim"] is not None
    }


def advised_told(snapshot: Snapshot) -> Mapping[str, str]:
    """What is advised for each clock, or why nothing is."""
    return {
        f"{series_name(row, row)} at {each['clock_mhz']:g} MHz": each["words"]
        for row in said_rows(snapshot)
        for each in row["advice"]
    }


def beside_told(snapshot: Snapshot) -> Mapping[str, str]:
    """How warm each part gets, and whether tuning was worth it, as far as that is told."""
    return {
        f"{part_name(part)}: {name}": " ".join(said)
        for part in snapshot.tuning
        for name, said in part.get("beside", {}).items()
    }


def without_tuning(figures: Table) -> dict[str, Any]:
    """Figures but for those of tuned parts, which editions went out without once."""
    return {at: row for at, row in figures.items() if row["sort"] not in OF_TUNING}


def as_known_to(before: Snapshot, after: Snapshot) -> Snapshot:
    """A later snapshot without sorts of figures that an earlier one went out without, before they were known.

    What such figures are of both tell elsewhere: as limits, and as what is advised.
    """
    if not before.tuning or any(row.get("sort") in _FIGURED for row in before.figures.values()):
        return after
    advised = any(each["voltage_mv"] is not None for row in said_rows(before) for each in row["advice"])
    if not (advised or any(limit_rows(before))):
        return after
    kept = {at: row for at, row in after.figures.items() if row.get("sort") not in _FIGURED}
    return replace(after, figures=kept)


def figures_called(snapshot: Snapshot, setups: Mapping[str, str]) -> Iterator[tuple[str, str]]:
    """Figures of tuned parts beside those of their hours, by address: whose they are, and what.

    `setups` says what setups are called.
    """
    for at, row in snapshot.figures.items():
        if row.get("sort") in _FIGURED:
            _, _, setup, *more = at.split()  # "advised of plover-mild by processor at …"
            part = f", {more[1]}" if more[0] == "by" else ""
            yield at, f"{setups.get(setup, setup)}{part}, {row['definition']}"


def tuning_sense(snapshot: Snapshot) -> Any:
    """What is told of tuned parts, without the program's own words."""
    return _wordless(list(snapshot.tuning))


def _wordless(value: Any) -> Any:
    if isinstance(value, Mapping):
        return {name: _wordless(item) for name, item in value.items() if name not in _PROGRAM_S_OWN}
    return [_wordless(item) for item in value] if isinstance(value, list | tuple) else value


def machine_called(snapshot: Snapshot, setup: Table) -> str:
    """What a machine is called over its parts: its build, with its state where that is there in several."""
    alike = [each for each in snapshot.setups if each.get("build_name") == setup["build_name"]]
    name = setup.get("name") if len(alike) > 1 else None
    return isolated(str(name or setup["build_name"]))


def state_told(snapshot: Snapshot, setup: Table) -> Iterator[str]:
    """In which state a setup was measured and which of its parts were tuned; nothing where all is stock."""
    state = str(setup.get("state", ""))
    own = [part for part in snapshot.tuning if part["setup"] == setup["key"] and part["said"]]
    if state_words(state):
        yield state_words(state)
    for part in own:
        held = next((row["claim"]["at"] for row in part["said"] if row["claim"]), "")
        yield tuned_at_words(part["part"], (part["stock_clock_mhz"], part["stock_voltage_mv"]), held)
    if own:
        alone = all(part.get("clock_alone") for part in own)
        kinds = [part["part"] for part in own]
        yield from settings_words(state, _stamps(snapshot, setup), kinds, own_voltage=alone)


def _stamps(snapshot: Snapshot, setup: Table) -> dict[str, list[str]]:
    """What a setup and its runs are stamped with, by name: each value once, "" where some have none."""
    noted = _table(setup.get("stamps"))
    runs: list[Table] = [
        {**noted, **_table(run.get("stamps"))} for run in snapshot.runs if run.get("setup") == setup["key"]
    ]
    names = dict.fromkeys(name for run in (noted, *runs) for name in run)
    return {name: list(dict.fromkeys(str(run.get(name, "")) for run in runs or [noted])) for name in names}


def _table(value: Any) -> Table:
    return dict(value) if isinstance(value, Mapping) else {}
