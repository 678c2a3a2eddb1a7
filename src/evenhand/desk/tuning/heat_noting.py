"""Temperature logs of tuned parts onto the record: brought as a file, or a run's own; taken back, too."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import suppress
from dataclasses import dataclass, replace
from datetime import datetime
from pathlib import Path

from pydantic import ValidationError

from evenhand.desk.bench.uploading import layout_told
from evenhand.desk.logs.columns import LOOK_BYTES, beginning_of
from evenhand.desk.logs.identity import digest
from evenhand.desk.logs.layouts import header_of, marked, remember, remembered
from evenhand.desk.study.checking import Checked, FieldProblem, Given, sound
from evenhand.desk.study.shelving import refuse_closed
from evenhand.desk.tuning.heat_columns import (
    HeatFile,
    column_problems,
    guessed_columns,
    guessed_meter,
    look_at,
    said_columns,
)
from evenhand.desk.tuning.noting import kinds_of, reason_given, setup_of, tuned_part
from evenhand.errors import BadRecord, NotFound
from evenhand.folders.heat_tables import HeatFacts, heat_key, heat_of, heat_problems
from evenhand.folders.wording import problem_of
from evenhand.records.builds import Build
from evenhand.records.heat import HEAT_COLUMNS, LoggedHeat
from evenhand.records.layouts import Layout
from evenhand.store import heat as heat_store
from evenhand.store import originals, shelves
from evenhand.store import runs as run_store
from evenhand.store import trials as trial_store
from evenhand.store.workbench import Workbench
from evenhand.traces.fingerprints import fingerprint
from evenhand.traces.limits import check_size
from evenhand.traces.probe import probe


@dataclass(frozen=True, slots=True, kw_only=True)
class NotedHeat:
    """A log on record; `again` where it had been before this was sent."""

    heat: LoggedHeat
    again: bool = False


def keep_log(wb: Workbench, data: bytes, *, name: str) -> str:
    """Keeps the bytes of a log that was brought for a part; their SHA-256.

    Raises BadLog where they are far too many, or hold no rows that could be a log.
    """
    check_size(len(data), name=name)
    mark = digest(data)
    with wb.writing():
        originals.keep(wb, data, name=name, digest=mark)
        look_at(wb, mark)
    return mark


def keep_file(wb: Workbench, path: Path) -> str:
    """Keeps the bytes of a file; their SHA-256. Raises BadLog where they cannot be had, or are no log."""
    beginning_of(path)
    return keep_log(wb, path.read_bytes(), name=path.name)


@dataclass(frozen=True, slots=True, kw_only=True)
class OfRun:
    """The sensor log of a run: its bytes, the layout by which it is read, and the room as it was noted."""

    log: str
    layout: Layout
    room_c: float | None


def of_run(wb: Workbench, setup: str, run: str) -> OfRun:
    """The sensor log of a run of a setup. Raises NotFound where there is no such run, or it has none."""
    found = next((each for each in run_store.sensed_runs(wb, setup) if run in (each.id, each.label)), None)
    if found is None or found.sensors is None or found.sensor_layout is None:
        todo = "bring the log itself as a file, or name a run of this setup that has one"
        raise NotFound(f"'{run}' is no run of {setup} with a sensor log", where="run", todo=todo)
    layout = shelves.one(wb, Layout, found.sensor_layout)
    return OfRun(log=found.sensors, layout=layout, room_c=found.ambient_c)


def drafted_heat(wb: Workbench, given: Given, file: HeatFile) -> Checked[LoggedHeat]:
    """A log that is to be noted. Columns that are not named are guessed by what they sit on."""
    setup, part = str(given.get("setup") or ""), str(given.get("part") or "").strip()
    try:
        tuned_part(wb, setup, part)
    except NotFound as refused:
        problem = FieldProblem(field=refused.where, found=refused.found, todo=refused.todo)
        return Checked(record=None, problems=(problem,))
    columns = _columns(given, file, part)
    meter = given.get("watts_at") or guessed_meter(file.layout, columns["watts"])
    table, problems = _table({**given, "part": part, **columns, "watts_at": meter}, file)
    if table is None:
        return Checked(record=None, problems=problems)
    heat = heat_of(table, log=file.log, layout=file.layout.fingerprint)
    found = [FieldProblem(field=str(p.path[-1]), found=p.found, todo=p.todo) for p in heat_problems(heat, ())]
    build = shelves.one(wb, Build, setup_of(wb, setup).build)
    found += column_problems(file, heat.columns, part=part, kinds=kinds_of(wb, build))
    found += _of_another(wb, heat)
    return Checked(record=None if found else heat, problems=tuple(found))


def _columns(given: Given, file: HeatFile, part: str) -> dict[str, str]:
    """The columns as they are said; those that nobody mentioned as they are guessed, for a room no guess."""
    guesses = guessed_columns(file.layout, part)
    if given.get("room_c") is not None:
        guesses["room"] = ""
    return {name: guesses[name] if given.get(name) is None else str(given[name]) for name in HEAT_COLUMNS}


def _table(given: Given, file: HeatFile) -> tuple[HeatFacts | None, tuple[FieldProblem, ...]]:
    told = {key: value for key, value in given.items() if value is not None and key in HeatFacts.model_fields}
    if not told.get("temperature"):
        found = "it is not said which column is this part's temperature"
        todo = f"name one of {', '.join(file.header[:12])}"
        return None, (FieldProblem(field="temperature", found=found, todo=todo),)
    if isinstance(told.get("at"), str):
        with suppress(ValueError):  # the table says what is wrong with it
            told["at"] = datetime.fromisoformat(told["at"].strip())
    try:
        return HeatFacts.model_validate(told), ()
    except ValidationError as failed:
        errors = failed.errors(include_url=False)
        problems = [(str(e["loc"][0]) if e["loc"] else "", problem_of(HeatFacts, (), e)) for e in errors]
        return None, tuple(FieldProblem(field=f, found=p.found, todo=p.todo) for f, p in problems)


def _of_another(wb: Workbench, heat: LoggedHeat) -> Iterator[FieldProblem]:
    """That the log is on record as that of runs of other setups, and of none of this one."""
    runs = run_store.runs_with(wb, heat.log)
    if runs and all(run.setup != heat.setup for run in runs):
        found = f"this is a log of {runs[0].label}, a run of {runs[0].setup}"
        yield FieldProblem(field="log", found=found, todo=f"bring a log of {heat.setup}")


def note_heat(wb: Workbench, given: Given, file: HeatFile, *, now: datetime, by: str = "") -> NotedHeat:
    """A temperature log on record. What is said of its columns is confirmed with it and remembered.

    The same bytes, read the same way over the same seconds, are the same log, unless what was set is said
    otherwise or for the first time. Raises BadRecord that names each field.
    """
    with wb.writing():
        heat = replace(sound(drafted_heat(wb, given, file)), by=by)
        refuse_closed(wb, setup_of(wb, heat.setup))
        heat = replace(heat, layout=_kept(wb, said_columns(file, heat.columns, heat.part), now=now))
        if (same := _same(wb, heat)) is not None:
            return NotedHeat(heat=same, again=True)
        heat = _keyed(wb, heat)
        again = any(each.key == heat.key for each in heat_store.heat_of(wb, [heat.setup]))
        return NotedHeat(heat=heat_store.add_heat(wb, heat, at=now), again=again)


def note_heat_of_trial(
    wb: Workbench, trial: str, given: Given, log: str, *, now: datetime, by: str = ""
) -> NotedHeat:
    """The temperatures that a rig kept with a trial, on record as a log of its part; the bytes are kept.

    `given` says which `columns` are the part's, and in `layout` what every column is. Sent twice it is one
    log. Raises NotFound where no trial has this key, and BadRecord where a column cannot be used.
    """
    of = trial_store.trial_keyed(wb, trial)
    name = (*originals.names(wb, log), "the log")[0]
    seen = probe(originals.beginning(wb, log, LOOK_BYTES), name=name)
    try:
        layout = layout_told(given["layout"], fingerprint(seen.header))
        columns = {str(key): str(value) for key, value in given["columns"].items()}
    except (ValueError, KeyError, TypeError, AttributeError) as error:
        todo = "send layout and columns as docs/formats-trials.md has them"
        raise BadRecord("it is not said what the columns are", where="layout", todo=todo) from error
    facts = {
        "setup": of.setup, "part": of.part, "room_c": of.room_c, "clock_mhz": of.clock_mhz,
        "voltage_mv": of.voltage_mv, "settings": dict(of.settings), "at": of.at,
        "note": f"during trial {of.id}, {of.load}", "key": f"trial-{of.key}", **columns,
    }  # fmt: skip
    return note_heat(wb, facts, look_at(wb, log, layout=layout), now=now, by=by)


def _same(wb: Workbench, heat: LoggedHeat) -> LoggedHeat | None:
    """The log that counts already and says all that this one does; None for one with a key of its own."""
    if heat.key:
        return None
    for each in heat_store.heat_of(wb, [heat.setup]):
        silent = {name: getattr(each, name) for name in WAS_SET if getattr(heat, name) in (None, "", {})}
        if replace(heat, **silent, id=each.id, key=each.key, by=each.by, layout=each.layout) == each:
            return each
    return None


WAS_SET = ("clock_mhz", "voltage_mv", "settings", "at", "note")
"""What may be left out where a log is brought again."""


def _keyed(wb: Workbench, heat: LoggedHeat) -> LoggedHeat:
    """The log with a key: that of what it tells, or another where such a one was taken back before."""
    if heat.key:
        return heat
    ever = {each.key: each.id for each in heat_store.heat_of(wb, [heat.setup], ever=True)}
    gone, key, nth = heat_store.reasons(wb), heat_key(heat), 1
    while ever.get(key) in gone:
        nth += 1
        key = f"{heat_key(heat)}-{nth}"
    return replace(heat, key=key)


def _kept(wb: Workbench, layout: Layout, *, now: datetime) -> str:
    """The mark of a layout on record. For a header that is new it stands from now on; others stay as read."""
    found = marked(layout)
    every = remembered(wb)
    if any(each.fingerprint == found.fingerprint for each in every):
        return found.fingerprint
    if any(header_of(each) == header_of(found) for each in every):
        shelves.save(wb, found, now=now)
        return found.fingerprint
    return remember(wb, found, now=now).fingerprint


def take_back_heat(
    wb: Workbench, setup: str, part: str, number: int, reason: str, *, now: datetime
) -> LoggedHeat:
    """A log that was a mistake counts no more; it stays on record with the reason. Raises NotFound."""
    with wb.writing():
        tuned_part(wb, setup, part)
        heat = heat_store.heat_numbered(wb, number)
        if (heat.setup, heat.part) != (setup, part):
            found = f"temperature log {number} is of the {heat.part} of {heat.setup}"
            raise NotFound(found, where=f"{part} of {setup}", todo="name that part")
        refuse_closed(wb, setup_of(wb, setup))
        return heat_store.take_back_heat(wb, number, reason_given(reason), at=now)
