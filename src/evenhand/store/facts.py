"""How each kind of record lies in its tables: its row, the rows beside it, and back again."""

from __future__ import annotations

import json
import sqlite3
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from types import MappingProxyType
from typing import Any, Generic, TypeVar

from evenhand.errors import BadRecord, nearest
from evenhand.records.audiences import Audience, Property
from evenhand.records.builds import Build, Part, Setup
from evenhand.records.layouts import Column, Layout, LogKind, Role
from evenhand.records.money_terms import MoneyTerms
from evenhand.records.prices import Currency
from evenhand.records.studies import Study
from evenhand.records.tests import Direction, Measures, Script, Test
from evenhand.records.windows import Window
from evenhand.store.rows import Row, as_text

R = TypeVar("R")
Rows = Sequence[sqlite3.Row]


@dataclass(frozen=True, slots=True, kw_only=True)
class Side(Generic[R]):
    """A table of rows in order that belong to one record: a build's parts, a study's tests."""

    table: str
    owner: str
    rows: Callable[[R], Sequence[Row]]


@dataclass(frozen=True, slots=True, kw_only=True)
class Shelf(Generic[R]):
    """Where one kind of record is kept. `record` takes its row and, for each side, the rows there."""

    noun: str
    table: str
    row: Callable[[R], Row]
    record: Callable[[sqlite3.Row, Sequence[Rows]], R]
    key: str = "key"
    sides: tuple[Side[R], ...] = ()


def _in_order(column: str, values: Sequence[str]) -> list[Row]:
    return [{"position": position, column: value} for position, value in enumerate(values)]


def _part_row(part: Part) -> Row:
    return {"key": part.key, "kind": part.kind, "name": part.name, "note": part.note}


def _part(row: sqlite3.Row, _sides: Sequence[Rows]) -> Part:
    return Part(**dict(row))


def _build_row(build: Build) -> Row:
    return {"key": build.key, "name": build.name, "slot": build.slot, "note": build.note}


def _build(row: sqlite3.Row, sides: Sequence[Rows]) -> Build:
    return Build(**dict(row), parts=tuple(side["part"] for side in sides[0]))


def _setup_row(setup: Setup) -> Row:
    return {
        "key": setup.key,
        "name": setup.name,
        "build": setup.build,
        "state": setup.state,
        "stamps": as_text(setup.stamps),
    }


def _setup(row: sqlite3.Row, _sides: Sequence[Rows]) -> Setup:
    return Setup(**{**dict(row), "stamps": json.loads(row["stamps"])})


def _test_row(test: Test) -> Row:
    return {
        "key": test.key,
        "name": test.name,
        "measures": test.measures.value,
        "metric": test.metric,
        "unit": test.unit,
        "direction": test.direction.value,
        "stresses": as_text(test.stresses),
        "scene": test.scene,
        "version": test.version,
        "settings": as_text(test.settings),
        "group": test.group,
        "also": as_text(test.also),
        "locked_fps": test.locked_fps,
        "free_length": int(test.free_length),
        "minutes": test.minutes,
        "script": None if test.script is None else as_text(test.script),
        "window": None if test.window is None else as_text(test.window),
    }


def _test(row: sqlite3.Row, _sides: Sequence[Rows]) -> Test:
    found = dict(row)
    # A workbench that is only looked at may be from before there were any.
    script, window = found.get("script"), found.get("window")
    read = {
        "measures": Measures(row["measures"]),
        "direction": Direction(row["direction"]),
        "stresses": tuple(json.loads(row["stresses"])),
        "settings": json.loads(row["settings"]),
        "also": tuple(json.loads(row["also"])),
        "free_length": bool(row["free_length"]),
        "script": None if script is None else Script(**json.loads(script)),
        "window": None if window is None else Window(**json.loads(window)),
    }
    return Test(**{**found, **read})


def _layout_row(layout: Layout) -> Row:
    return {"fingerprint": layout.fingerprint, "kind": layout.kind.value, "name": layout.name}


def _layout_columns(layout: Layout) -> list[Row]:
    return [
        {"position": at, "header": c.header, "role": c.role.value, "unit": c.unit, "about": c.about}
        for at, c in enumerate(layout.columns)
    ]


def _layout(row: sqlite3.Row, sides: Sequence[Rows]) -> Layout:
    columns = tuple(
        Column(header=c["header"], role=Role(c["role"]), unit=c["unit"], about=c["about"]) for c in sides[0]
    )
    return Layout(**{**dict(row), "kind": LogKind(row["kind"])}, columns=columns)


def _study_row(study: Study) -> Row:
    low, high = study.ambient_c or (None, None)
    return {
        "key": study.key,
        "title": study.title,
        "question": study.question,
        "audience": study.audience,
        "budget": study.budget,
        "margin": study.margin,
        "boot_allowance": study.boot_allowance,
        "ambient_low_c": low,
        "ambient_high_c": high,
        "audiences": as_text(study.audiences) if study.audiences else None,
        "currency": None if study.currency is None else as_text(study.currency),
        "money": None if study.money is None else as_text(study.money),
    }


def _study_tests(study: Study) -> list[Row]:
    for test in study.weights:
        if test not in study.tests:
            raise BadRecord(
                f"a weight is given for '{test}', which is not a test of the study",
                where=f"study '{study.key}'",
                todo=nearest(test, study.tests),
            )
    return [{**row, "weight": study.weights.get(str(row["test"]))} for row in _in_order("test", study.tests)]


def _study(row: sqlite3.Row, sides: Sequence[Rows]) -> Study:
    found = dict(row)
    low, high = found.pop("ambient_low_c"), found.pop("ambient_high_c")
    # A workbench that is only looked at may be from before there were any.
    audiences, currency = found.pop("audiences", None), found.pop("currency", None)
    money = found.pop("money", None)
    setups, tests = sides
    return Study(
        **found,
        setups=tuple(side["setup"] for side in setups),
        tests=tuple(side["test"] for side in tests),
        ambient_c=None if low is None else (low, high),
        weights={side["test"]: side["weight"] for side in tests if side["weight"] is not None},
        audiences=() if audiences is None else tuple(map(_audience, json.loads(audiences))),
        currency=None if currency is None else Currency(**json.loads(currency)),
        money=None if money is None else _money(json.loads(money)),
    )


def _money(told: dict[str, Any]) -> MoneyTerms:
    return MoneyTerms(**{**told, "resale": tuple(told["resale"]), "fall": tuple(told["fall"])})


def _audience(told: dict[str, Any]) -> Audience:
    spans = {key: tuple(told[key]) for key in ("hours_a_year", "tariff_minor") if told.get(key) is not None}
    properties = {Property(p): w for p, w in told["properties"].items()}
    return Audience(**{**told, **spans, "properties": properties})


_BUILD_PARTS: Side[Build] = Side(
    table="build_parts", owner="build", rows=lambda b: _in_order("part", b.parts)
)
_COLUMNS: Side[Layout] = Side(table="layout_columns", owner="layout", rows=_layout_columns)
_SETUPS: Side[Study] = Side(table="study_setups", owner="study", rows=lambda s: _in_order("setup", s.setups))
_TESTS: Side[Study] = Side(table="study_tests", owner="study", rows=_study_tests)

PARTS: Shelf[Part] = Shelf(noun="part", table="parts", row=_part_row, record=_part)
BUILDS: Shelf[Build] = Shelf(
    noun="build", table="builds", row=_build_row, record=_build, sides=(_BUILD_PARTS,)
)
SETUPS: Shelf[Setup] = Shelf(noun="setup", table="setups", row=_setup_row, record=_setup)
TESTS: Shelf[Test] = Shelf(noun="test", table="tests", row=_test_row, record=_test)
LAYOUTS: Shelf[Layout] = Shelf(
    noun="layout", table="layouts", row=_layout_row, record=_layout, key="fingerprint", sides=(_COLUMNS,)
)
STUDIES: Shelf[Study] = Shelf(
    noun="study", table="studies", row=_study_row, record=_study, sides=(_SETUPS, _TESTS)
)

SHELVES: Mapping[type, Shelf[Any]] = MappingProxyType(
    {Part: PARTS, Build: BUILDS, Setup: SETUPS, Test: TESTS, Layout: LAYOUTS, Study: STUDIES}
)
