"""A run, the states it can be in, and the decisions that put it there."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import datetime
from enum import StrEnum

from evenhand.records.faults import Ground
from evenhand.records.windows import Window


class RunState(StrEnum):
    """Where a run stands. Only landed and kept runs enter a finding."""

    LANDED = "landed"
    IN_DOUBT = "in doubt"
    KEPT = "kept"
    SET_ASIDE = "set aside"
    REPLACED = "replaced"

    @property
    def counts(self) -> bool:
        """Whether a run in this state enters findings."""
        return self is RunState.LANDED or self is RunState.KEPT  # asked a dozen times of each run


class Reason(StrEnum):
    """Why a run may be set aside: fixed in advance, so that nobody invents one to suit a result."""

    RATE_CAP = "rate-cap"
    WRONG_SETTINGS = "wrong-settings"
    WRONG_SCENE = "wrong-scene"
    DUPLICATE = "duplicate"
    OTHER_SOFTWARE = "other-software"
    OTHER_CONDITIONS = "other-conditions"
    DAMAGED_LOG = "damaged-log"
    INTERRUPTED = "interrupted"
    RIG_FAULT = "rig-fault"
    OTHER = "other"

    @property
    def meaning(self) -> str:
        """When this reason holds, in a few words."""
        return _MEANINGS[self]


_MEANINGS: Mapping[Reason, str] = {
    Reason.RATE_CAP: "a limiter or a screen held the rate",
    Reason.WRONG_SETTINGS: "resolution, quality or another setting was not the test's",
    Reason.WRONG_SCENE: "another scene, save or route was run",
    Reason.DUPLICATE: "the same recording as another run",
    Reason.OTHER_SOFTWARE: "a driver, system or version that its siblings did not have",
    Reason.OTHER_CONDITIONS: "room, cooling or power were not those of the study: a result of its own",
    Reason.DAMAGED_LOG: "the log is cut off, or holds what no machine does",
    Reason.INTERRUPTED: "something came between: a message, an update, a person",
    Reason.RIG_FAULT: "the rig itself was at fault: a loose cable, a stuck fan",
    Reason.OTHER: "none of these; needs a note that says what",
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Run:
    """One run of one test on one setup.

    `log` and `sensors` name original bytes by their SHA-256; a score run may instead carry `score`
    in the test's unit; where that came from a table, `log` is the table and `score_row` what the table
    calls the test and the run. `boot` and `order` place it in the bench day; `stamps` holds what the run says
    of itself (driver, os, test version, resolution). `window` is the part of its log that is measured, where
    that is another than its test's, for the reason given there.
    """

    id: str
    study: str
    test: str
    setup: str
    label: str
    log: str | None = None
    log_layout: str | None = None
    sensors: str | None = None
    sensor_layout: str | None = None
    score: float | None = None
    score_row: tuple[str, str] | None = None
    boot: str | None = None
    order: int | None = None
    started_at: datetime | None = None
    duration_s: float | None = None
    ambient_c: float | None = None
    wall_w: float | None = None
    stamps: Mapping[str, str] = field(default_factory=dict)
    window: Window | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Decision:
    """One decision about one run; never changed, only followed by another.

    `over` lists the kinds of fault that held the run when it was made: a fault that appears later
    puts a kept run in doubt again. `grounds` are all faults that were on show, as they were told then.
    `masked` says that the names of builds were hidden at the time.
    """

    run: str
    at: datetime
    state: RunState
    reason: Reason | None = None
    note: str = ""
    over: tuple[str, ...] = ()
    masked: bool = False
    grounds: tuple[Ground, ...] = ()
