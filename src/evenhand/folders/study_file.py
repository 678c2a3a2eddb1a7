"""The tables of a study file and the keys each may hold: the edge where TOML is checked."""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Annotated

from pydantic import (
    AfterValidator,
    AwareDatetime,
    BeforeValidator,
    Field,
)
from pydantic_core import PydanticCustomError

from evenhand.folders.fact_tables import FactsTable
from evenhand.folders.heat_tables import HeatTable
from evenhand.folders.money_terms import MoneyTable
from evenhand.folders.offer_tables import OfferTable, RateTable
from evenhand.folders.photo_tables import PhotoTable
from evenhand.folders.table import FileName, Key, Positive, RoomTemperature, Stamps, Table, Words
from evenhand.folders.trial_tables import TrialInFile, TunedInFile
from evenhand.folders.worth_tables import AudienceTable, CurrencyTable, PriceTable, SoundTable
from evenhand.records.faults import Severity
from evenhand.records.layouts import LogKind
from evenhand.records.runs import Reason, RunState
from evenhand.records.tests import Direction, Measures


def _one_or_more(given: object) -> object:
    """A role may be played by one column or by a list of them."""
    return [given] if isinstance(given, Mapping) else given


class StudyTable(Table):
    """[study]: the question and what is fixed before any data."""

    key: Key
    title: Words
    setups: list[Key] | None = None
    tests: list[Key] | None = None
    question: str = ""
    audience: str = ""
    budget: str = ""
    margin: Annotated[float, Field(gt=0, le=0.5)] = 0.03
    boot_allowance: Annotated[float, Field(ge=0, le=0.5)] = 0.01
    ambient_c: Annotated[list[RoomTemperature], Field(min_length=2, max_length=2)] | None = None
    weights: Mapping[Key, Annotated[float, Field(ge=0)]] = Field(default_factory=dict)
    currency: CurrencyTable | None = None
    audiences: list[AudienceTable] = Field(default_factory=list)
    money: MoneyTable | None = None


class PartTable(Table):
    """[[parts]]: one part of a build."""

    key: Key
    kind: Words
    name: Words
    note: str = ""


class PartInFile(PartTable):
    """[[parts]] as a file has it: the part with what is known of it."""

    facts: list[FactsTable] = Field(default_factory=list)


class BuildTable(Table):
    """[[builds]]: one complete machine."""

    key: Key
    name: Words
    slot: Annotated[int, Field(ge=1, le=5)]
    parts: list[Key] = Field(default_factory=list)
    note: str = ""


class BuildInFile(BuildTable):
    """[[builds]] as a file has it: the machine with its photos, which lie beside the file."""

    photos: list[PhotoTable] = Field(default_factory=list)


class SetupTable(Table):
    """[[setups]]: a build in one exact state."""

    key: Key
    build: Key
    name: Words | None = None
    state: Words = "stock"
    stamps: Stamps = Field(default_factory=dict)


def _pattern(given: str) -> str:
    """A regular expression."""
    try:
        re.compile(given)
    except re.error as error:
        raise PydanticCustomError(
            "pattern",
            "pattern {found}",
            {"found": f"cannot be read ({error})", "todo": "write it as a regular expression"},
        ) from error
    return given


class ScriptTable(Table):
    """[tests.script]: a command that runs the test on a rig."""

    command: Words
    score: Annotated[str, AfterValidator(_pattern)] = ""
    warm_up: Annotated[int, Field(ge=0, le=100)] = 0
    timeout_s: Positive = 3600.0
    folder: str = ""


class WindowTable(Table):
    """window = {...}: which part of a log is measured."""

    start_s: Annotated[float, Field(ge=0)] = 0.0
    end_s: Positive | None = None
    reason: str = ""
    by: str = ""


def _window(given: WindowTable) -> WindowTable:
    """A window in which something can lie."""
    if given.end_s is not None and given.end_s <= given.start_s:
        said = {
            "found": f"nothing lies between {given.start_s:g} s and {given.end_s:g} s",
            "todo": "correct end_s",
        }
        raise PydanticCustomError("window", "{found}", said)
    return given


MeasuredWindow = Annotated[WindowTable, AfterValidator(_window)]


class TestTable(Table):
    """[[tests]]: what is run on every setup."""

    __test__ = False  # tells pytest that this is not a test of ours

    key: Key
    name: Words
    measures: Annotated[Measures, Field(strict=False)]
    metric: Words | None = None
    unit: Words | None = None
    direction: Annotated[Direction, Field(strict=False)] | None = None
    stresses: list[Words] = Field(default_factory=list)
    scene: str = ""
    version: str = ""
    settings: Stamps = Field(default_factory=dict)
    group: str = ""
    also: list[Words] = Field(default_factory=list)
    locked_fps: Positive | None = None
    free_length: bool = False
    minutes: Positive | None = None
    script: ScriptTable | None = None
    window: MeasuredWindow | None = None


class ColumnTable(Table):
    """A column of a layout: its header as written, its unit, what it sits on."""

    column: Words
    unit: str = ""
    about: str = ""


class LayoutTable(Table):
    """[[layouts]]: which column of a log is what."""

    name: Words
    kind: Annotated[LogKind, Field(strict=False)]
    columns: Mapping[str, Annotated[list[ColumnTable], BeforeValidator(_one_or_more)]]


class RowTable(Table):
    """row = {...}: which line of a score table belongs to a run."""

    test: Words | None = None
    run: Words


class GroundTable(Table):
    """[[runs.decisions.grounds]]: a fault that was on show when a decision was made."""

    kind: Words
    title: Words
    severity: Annotated[Severity, Field(strict=False)]
    evidence: str = ""
    numbers: Mapping[str, Annotated[float, Field(allow_inf_nan=True)]] = Field(default_factory=dict)


class DecisionTable(Table):
    """[[runs.decisions]]: one decision made about a run."""

    at: AwareDatetime
    state: Annotated[RunState, Field(strict=False)]
    reason: Annotated[Reason, Field(strict=False)] | None = None
    note: str = ""
    over: list[Words] = Field(default_factory=list)
    masked: bool = False
    grounds: list[GroundTable] = Field(default_factory=list)


class RunTable(Table):
    """[[runs]], a line of `runs` in a batch, and the keys a batch shares: every key is optional alone."""

    test: Key | None = None
    setup: Key | None = None
    label: Words | None = None
    log: FileName | None = None
    layout: Words | None = None
    score: Positive | None = None
    scores: FileName | None = None
    row: RowTable | None = None
    sensors: FileName | None = None
    sensor_layout: Words | None = None
    boot: Words | None = None
    order: Annotated[int, Field(ge=0, le=1_000_000_000)] | None = None
    started_at: AwareDatetime | None = None
    duration_s: Positive | None = None
    ambient_c: RoomTemperature | None = None
    wall_w: Annotated[float, Field(ge=0)] | None = None
    stamps: Stamps = Field(default_factory=dict)
    window: MeasuredWindow | None = None
    decisions: list[DecisionTable] = Field(default_factory=list)
    named: bool = True


class PastTable(Table):
    """[past]: how many lines the files of the study's past had when it was exported."""

    changes: Annotated[int, Field(ge=0)] = 0
    results: Annotated[int, Field(ge=0)] = 0


TABLES: Mapping[str, type[Table]] = {
    "study": StudyTable,
    "past": PastTable,
    "parts": PartInFile,
    "builds": BuildInFile,
    "setups": SetupTable,
    "tests": TestTable,
    "prices": PriceTable,
    "sound": SoundTable,
    "offers": OfferTable,
    "rates": RateTable,
    "tuned": TunedInFile,
    "trials": TrialInFile,
    "heat": HeatTable,
    "layouts": LayoutTable,
    "runs": RunTable,
}
"""The tables a study file may hold; `batches` besides, which shares the keys of `runs`."""

SINGLE = ("study", "past")
"""Those of them that stand once, as a table and not as a list of tables."""

FORMAT = 1
"""The number a file may carry as `format`; a later one is refused."""

SPARED: Mapping[type[Table], Mapping[str, object]] = {
    StudyTable: {**dict.fromkeys(StudyTable.model_fields), "key": "study", "title": "?"},
    SetupTable: dict.fromkeys(("name", "state", "stamps")),
    BuildTable: {"name": "?", "note": None},
    BuildInFile: {"name": "?", "note": None, "photos": None},
    TestTable: {
        **dict.fromkeys(("stresses", "scene", "version", "settings", "group")),
        **dict.fromkeys(("locked_fps", "free_length", "minutes", "script", "window")),
        "name": "?",
    },
    RunTable: dict.fromkeys(
        ("boot", "order", "started_at", "duration_s", "ambient_c", "wall_w", "stamps", "window", "decisions")
    ),
}
"""Keys that the checks of the whole file can do without, and what stands in for those they need."""
