"""A test: what is run on every setup, and which way its number is better."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from enum import StrEnum
from typing import ClassVar

from evenhand.records.windows import Window


class Direction(StrEnum):
    """Which way the headline number is better."""

    HIGHER = "higher"
    LOWER = "lower"


class Measures(StrEnum):
    """What a run of the test leaves behind."""

    FRAMES = "frames"
    SCORE = "score"


@dataclass(frozen=True, slots=True, kw_only=True)
class Script:
    """A command that runs a test on a rig by itself, once somebody at that rig has allowed it.

    It is run `warm_up` times for nothing, then once for the run, in `folder` of the rig. `score` is a regular
    expression whose group `score`, or first group, holds the number in the output; where it is empty the
    number is the seconds that the command took. `timeout_s` ends a command that hangs.
    """

    command: str
    score: str = ""
    warm_up: int = 0
    timeout_s: float = 3600.0
    folder: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Test:
    """One test, fixed before data.

    `metric` is the headline number (a key of the metric definitions, or "score"); `also` are further
    metrics to compare. `group` joins tests into an index of their own ("games", "work").
    `locked_fps` declares a rate that is held on purpose; `free_length` says that the run's length is
    itself a result. `settings` holds what must be alike in every run (resolution, quality). `script`
    runs it without hands. `window` is the part of every run's log that is measured; None: all of it.
    """

    __test__: ClassVar[bool] = False  # tells pytest that this is not a test of ours

    key: str
    name: str
    measures: Measures
    metric: str
    unit: str
    direction: Direction
    stresses: tuple[str, ...] = ()
    scene: str = ""
    version: str = ""
    settings: Mapping[str, str] = field(default_factory=dict)
    group: str = ""
    also: tuple[str, ...] = ()
    locked_fps: float | None = None
    free_length: bool = False
    minutes: float | None = None
    script: Script | None = None
    window: Window | None = None
