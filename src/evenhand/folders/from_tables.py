"""Checked tables into records, one function a table."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from evenhand.errors import nearest
from evenhand.folders import worth
from evenhand.folders.lines import Path
from evenhand.folders.money_terms import money_of
from evenhand.folders.problems import Problem
from evenhand.folders.study_file import (
    BuildTable,
    ColumnTable,
    DecisionTable,
    GroundTable,
    LayoutTable,
    PartTable,
    RunTable,
    SetupTable,
    StudyTable,
    TestTable,
    WindowTable,
)
from evenhand.folders.study_folder import DecisionEntry, LayoutEntry, RunEntry, ScoreKey
from evenhand.records.builds import Build, Part, Setup
from evenhand.records.faults import Ground
from evenhand.records.layouts import Column, Role
from evenhand.records.studies import Study
from evenhand.records.tests import Direction, Measures, Script, Test
from evenhand.records.windows import Window

ROLE_KEYS = {role.replace(" ", "_"): role for role in Role}
"""How a role is written as a key: `frame_time` for "frame time"."""


def study_of(table: StudyTable, *, setups: Sequence[str], tests: Sequence[str]) -> Study:
    """The study; where it names no setups or tests it takes all that the file declares, in that order."""
    return Study(
        key=table.key,
        title=table.title,
        setups=tuple(setups if table.setups is None else table.setups),
        tests=tuple(tests if table.tests is None else table.tests),
        question=table.question,
        audience=table.audience,
        budget=table.budget,
        margin=table.margin,
        boot_allowance=table.boot_allowance,
        ambient_c=(table.ambient_c[0], table.ambient_c[1]) if table.ambient_c else None,
        weights=dict(table.weights),
        audiences=worth.audiences_of(table.audiences, currency=table.currency),
        currency=worth.currency_of(table.currency),
        money=money_of(table.money, worth.currency_of(table.currency)),
    )


def part_of(table: PartTable) -> Part:
    """One part."""
    return Part(key=table.key, kind=table.kind, name=table.name, note=table.note)


def build_of(table: BuildTable) -> Build:
    """One build."""
    return Build(key=table.key, name=table.name, slot=table.slot, parts=tuple(table.parts), note=table.note)


def setup_of(table: SetupTable, build_name: str) -> Setup:
    """One setup, called after its build and state unless it has a name of its own."""
    name = table.name or f"{build_name}, {table.state}"
    return Setup(key=table.key, name=name, build=table.build, state=table.state, stamps=dict(table.stamps))


def test_of(table: TestTable) -> Test:
    """One test; frames are counted in fps and higher is better unless the table says otherwise."""
    frames = table.measures is Measures.FRAMES
    return Test(
        key=table.key,
        name=table.name,
        measures=table.measures,
        metric=table.metric or ("" if frames else "score"),
        unit=table.unit or ("fps" if frames else ""),
        direction=table.direction or Direction.HIGHER,
        stresses=tuple(table.stresses),
        scene=table.scene,
        version=table.version,
        settings=dict(table.settings),
        group=table.group,
        also=tuple(table.also),
        locked_fps=table.locked_fps,
        free_length=table.free_length,
        minutes=table.minutes,
        script=None if table.script is None else Script(**table.script.model_dump()),
        window=_window(table.window),
    )


def test_lacks(table: TestTable, at: int) -> Iterator[Problem]:
    """What a test must say for itself, given what it measures."""
    needed = {"metric": table.metric}
    if table.measures is Measures.SCORE:
        needed = {"unit": table.unit, "direction": table.direction}
    for key, value in needed.items():
        if value is None:
            said = f"a test that measures {table.measures} needs the key '{key}'"
            yield Problem(path=("tests", at), found=said, todo=f"add {key} = ...")


def layout_of(table: LayoutTable) -> LayoutEntry:
    """One layout, its columns in the order of the roles; unknown roles are left to `unknown_roles`."""
    columns = (
        _column(column, role) for key, role in ROLE_KEYS.items() for column in table.columns.get(key, ())
    )
    return LayoutEntry(name=table.name, kind=table.kind, columns=tuple(columns))


def _column(table: ColumnTable, role: Role) -> Column:
    return Column(header=table.column, role=role, unit=table.unit, about=table.about)


def unknown_roles(table: LayoutTable, at: int) -> Iterator[Problem]:
    """Keys of `columns` that are no role."""
    for key in table.columns:
        if key not in ROLE_KEYS:
            path: Path = ("layouts", at, "columns", key)
            yield Problem(path=path, found=f"'{key}' is not a role", todo=nearest(key, ROLE_KEYS))


def run_of(table: RunTable, *, test: str, setup: str, label: str) -> RunEntry:
    """One run, with everything its batch shares already merged in."""
    row = ScoreKey(test=table.row.test or test, run=table.row.run) if table.row else None
    return RunEntry(
        test=test,
        setup=setup,
        label=label,
        log=table.log,
        layout=table.layout,
        score=table.score,
        scores=table.scores,
        row=row,
        sensors=table.sensors,
        sensor_layout=table.sensor_layout,
        boot=table.boot,
        order=table.order,
        started_at=table.started_at,
        duration_s=table.duration_s,
        ambient_c=table.ambient_c,
        wall_w=table.wall_w,
        stamps=dict(table.stamps),
        window=_window(table.window),
        decisions=tuple(_decision(decision) for decision in table.decisions),
        named=table.named,
    )


def _window(table: WindowTable | None) -> Window | None:
    return None if table is None else Window(**table.model_dump())


def _decision(table: DecisionTable) -> DecisionEntry:
    return DecisionEntry(
        at=table.at,
        state=table.state,
        reason=table.reason,
        note=table.note,
        over=tuple(table.over),
        masked=table.masked,
        grounds=tuple(_ground(ground) for ground in table.grounds),
    )


def _ground(table: GroundTable) -> Ground:
    return Ground(
        kind=table.kind,
        title=table.title,
        severity=table.severity,
        evidence=table.evidence,
        numbers=dict(table.numbers),
    )
