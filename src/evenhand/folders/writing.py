"""A StudyFolder into the text of a study file: reading it again gives an equal folder."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import asdict
from itertools import groupby
from typing import Any

import tomli_w

from evenhand.folders.fact_tables import facts_tables
from evenhand.folders.heat_tables import heat_table
from evenhand.folders.money_terms import money_table
from evenhand.folders.offers import offer_table, rate_table
from evenhand.folders.photo_tables import photo_table
from evenhand.folders.study_file import FORMAT
from evenhand.folders.study_folder import (
    DecisionEntry,
    LayoutEntry,
    PhotoEntry,
    RunEntry,
    StudyFolder,
    default_label,
)
from evenhand.folders.tuned_entries import trial_table, tuned_table
from evenhand.folders.worth_written import audience_table, currency_table, price_table, sound_table
from evenhand.records.builds import Build, Part, Setup
from evenhand.records.faults import Ground
from evenhand.records.layouts import Column
from evenhand.records.part_facts import PartFact
from evenhand.records.studies import Study
from evenhand.records.tests import Script, Test
from evenhand.records.windows import Window

_Table = dict[str, Any]


def write_study(folder: StudyFolder) -> str:
    """The text of `study.toml`. Neighbouring runs of one cell are written as a batch.

    What is empty is left out. Columns of a layout are grouped by role.

    >>> study = Study(key="quick", title="A quick look", setups=(), tests=())
    >>> print(write_study(StudyFolder(study=study)))
    format = 1
    <BLANKLINE>
    [study]
    key = "quick"
    title = "A quick look"
    setups = []
    tests = []
    margin = 0.03
    boot_allowance = 0.01
    """
    document: _Table = {"format": FORMAT, "study": _study(folder.study)}
    document["past"] = {k: n for k, n in asdict(folder.past).items() if n}
    document["parts"] = [_part(part, folder.facts) for part in folder.parts]
    document["builds"] = [_build(build, folder.photos) for build in folder.builds]
    document["setups"] = [_setup(setup) for setup in folder.setups]
    document["tests"] = [_test(test) for test in folder.tests]
    document["layouts"] = [_layout(layout) for layout in folder.layouts]
    document |= _runs(folder.runs)
    document["prices"] = [price_table(price, folder.study.currency) for price in folder.prices]
    document["sound"] = [sound_table(reading) for reading in folder.sound]
    document["offers"] = [offer_table(offer, folder.study.currency) for offer in folder.offers]
    document["rates"] = [rate_table(rate) for rate in folder.rates]
    document["tuned"] = [tuned_table(entry) for entry in folder.tuned]
    document["trials"] = [trial_table(entry) for entry in folder.trials]
    document["heat"] = [heat_table(entry) for entry in folder.heat]
    return tomli_w.dumps({key: value for key, value in document.items() if value})


def _told(**keys: Any) -> _Table:
    """Only what says something: absent, empty and false values are what silence means already."""
    return {
        key: value
        for key, value in keys.items()
        if value not in (None, "", [], {}, ()) and value is not False
    }


def _study(study: Study) -> _Table:
    return {"key": study.key, "title": study.title} | {
        "setups": list(study.setups),
        "tests": list(study.tests),
        **_told(question=study.question, audience=study.audience, budget=study.budget),
        "margin": study.margin,
        "boot_allowance": study.boot_allowance,
        **_told(ambient_c=study.ambient_c and list(study.ambient_c), weights=dict(study.weights)),
        **_told(currency=study.currency and currency_table(study.currency)),
        **_told(audiences=[audience_table(each, study.currency) for each in study.audiences]),
        **_told(money=study.money and money_table(study.money, study.currency)),
    }


def _part(part: Part, facts: Sequence[PartFact]) -> _Table:
    named = _told(key=part.key, kind=part.kind, name=part.name, note=part.note)
    return named | _told(facts=facts_tables(part.key, facts))


def _build(build: Build, photos: Sequence[PhotoEntry]) -> _Table:
    own = [photo_table(photo) for photo in photos if photo.build == build.key]
    named = _told(key=build.key, name=build.name, slot=build.slot, parts=list(build.parts), note=build.note)
    return named | _told(photos=own)


def _setup(setup: Setup) -> _Table:
    return _told(
        key=setup.key, build=setup.build, name=setup.name, state=setup.state, stamps=dict(setup.stamps)
    )


def _test(test: Test) -> _Table:
    return _told(
        key=test.key,
        name=test.name,
        group=test.group,
        measures=test.measures.value,
        metric=test.metric,
        unit=test.unit,
        direction=test.direction.value,
        also=list(test.also),
        stresses=list(test.stresses),
        scene=test.scene,
        version=test.version,
        settings=dict(test.settings),
        locked_fps=test.locked_fps,
        free_length=test.free_length,
        minutes=test.minutes,
        script=None if test.script is None else _script(test.script),
        window=_window(test.window),
    )


def _script(script: Script) -> _Table:
    return _told(
        command=script.command, score=script.score, warm_up=script.warm_up or None, folder=script.folder
    ) | {"timeout_s": script.timeout_s}


def _window(window: Window | None) -> _Table | None:
    """A window; one that leaves the log whole says its start, since an empty table would say nothing."""
    if window is None:
        return None
    start = {} if window.start_s == 0 and window.end_s is not None else {"start_s": window.start_s}
    return start | _told(end_s=window.end_s, reason=window.reason, by=window.by)


def _layout(layout: LayoutEntry) -> _Table:
    columns: dict[str, list[_Table]] = {}
    for column in layout.columns:
        columns.setdefault(column.role.replace(" ", "_"), []).append(_column(column))
    return _told(
        name=layout.name,
        kind=layout.kind.value,
        columns={role: given[0] if len(given) == 1 else given for role, given in columns.items()},
    )


def _column(column: Column) -> _Table:
    return {"column": column.header, **_told(unit=column.unit, about=column.about)}


def _runs(runs: Sequence[RunEntry]) -> _Table:
    """Plain runs where no two neighbours share a cell, batches of neighbours otherwise."""
    tables = list(_run_tables(runs))
    cells = [list(cell) for _, cell in groupby(tables, key=lambda run: (run["test"], run["setup"]))]
    if all(len(cell) == 1 for cell in cells):
        return {"runs": tables}
    return {"batches": [_batch(cell) for cell in cells]}


def _run_tables(runs: Sequence[RunEntry]) -> Iterator[_Table]:
    numbers: dict[tuple[str, str], int] = {}
    for run in runs:
        number = numbers[run.test, run.setup] = numbers.get((run.test, run.setup), 0) + 1
        table = _run(run)
        if run.label == default_label(run.test, run.setup, number):
            del table["label"]
        yield table


def _run(run: RunEntry) -> _Table:
    measured = _told(
        test=run.test,
        setup=run.setup,
        label=run.label,
        log=run.log,
        layout=run.layout,
        scores=run.scores,
        row=run.row and {"test": run.row.test, "run": run.row.run},
        sensors=run.sensors,
        sensor_layout=run.sensor_layout,
        boot=run.boot,
        started_at=run.started_at,
        stamps=dict(run.stamps),
        window=_window(run.window),
        decisions=[_decision(decision) for decision in run.decisions],
    )
    numbers = {
        "score": run.score,
        "order": run.order,
        "duration_s": run.duration_s,
        "ambient_c": run.ambient_c,
        "wall_w": run.wall_w,
    }
    gone = {} if run.named else {"named": False}
    return measured | {key: value for key, value in numbers.items() if value is not None} | gone


def _decision(decision: DecisionEntry) -> _Table:
    return _told(
        at=decision.at,
        state=decision.state.value,
        reason=decision.reason and decision.reason.value,
        note=decision.note,
        over=list(decision.over),
        masked=decision.masked,
        grounds=[_ground(ground) for ground in decision.grounds],
    )


def _ground(ground: Ground) -> _Table:
    return _told(
        kind=ground.kind,
        title=ground.title,
        severity=ground.severity.value,
        evidence=ground.evidence,
        numbers=dict(ground.numbers),
    )


def _batch(runs: Sequence[_Table]) -> _Table:
    """What all runs of a cell have alike goes up; what is a run's own stays with it."""
    alike = _alike(runs)
    stamps = _alike([run.get("stamps", {}) for run in runs])
    shared = {key: value for key, value in alike.items() if key not in ("stamps", "decisions", "label")}
    own = [_own(run, shared, stamps) for run in runs]
    return {**shared, **_told(stamps=stamps), "runs": own}


def _alike(tables: Sequence[Mapping[str, Any]]) -> _Table:
    first = tables[0]
    return {k: v for k, v in first.items() if all(k in table and table[k] == v for table in tables)}


def _own(run: _Table, shared: _Table, stamps: _Table) -> _Table:
    left = {key: value for key, value in run.items() if key not in shared}
    own_stamps = {key: value for key, value in run.get("stamps", {}).items() if key not in stamps}
    return {key: value for key, value in left.items() if key != "stamps"} | _told(stamps=own_stamps)
