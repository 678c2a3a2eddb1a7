"""Every threshold of triage as named, frozen data, each with its unit and the reason it stands where it does.

Pass another `Thresholds` to judge by other numbers; `reasons` lists all of them for the documents.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field, fields

from evenhand.triage.limits.course import CurveLimits, PauseLimits
from evenhand.triage.limits.course_kinds import (
    ConsequenceLimits,
    LateStartLimits,
    PartsLimits,
    SagLimits,
    SceneLimits,
    StretchLimits,
    TakesLimits,
)
from evenhand.triage.limits.learning import LearningLimits
from evenhand.triage.limits.levels import HitchLimits, LevelLimits, ScatterLimits, WarmUpLimits
from evenhand.triage.limits.mechanical import (
    BadFrameLimits,
    ClockLimits,
    LengthLimits,
    ReadingLimits,
    RoomLimits,
    RowLimits,
    StampLimits,
    TwinLimits,
    UnitLimits,
)
from evenhand.triage.limits.rates import CapLimits, ScreenLimits
from evenhand.triage.limits.sensors import (
    BackgroundLimits,
    FanLimits,
    MemoryLimits,
    PowerLimits,
    ReadingsLimits,
    ThrottleLimits,
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Thresholds:
    """All limits of triage, one group for each kind of fault.

    >>> Thresholds().twin.blocks_above_r
    0.995
    """

    units: UnitLimits = field(default_factory=UnitLimits)
    bad_frames: BadFrameLimits = field(default_factory=BadFrameLimits)
    rows: RowLimits = field(default_factory=RowLimits)
    clock: ClockLimits = field(default_factory=ClockLimits)
    length: LengthLimits = field(default_factory=LengthLimits)
    stamps: StampLimits = field(default_factory=StampLimits)
    twin: TwinLimits = field(default_factory=TwinLimits)
    curve: CurveLimits = field(default_factory=CurveLimits)
    pause: PauseLimits = field(default_factory=PauseLimits)
    takes: TakesLimits = field(default_factory=TakesLimits)
    sag: SagLimits = field(default_factory=SagLimits)
    stretch: StretchLimits = field(default_factory=StretchLimits)
    consequence: ConsequenceLimits = field(default_factory=ConsequenceLimits)
    parts: PartsLimits = field(default_factory=PartsLimits)
    late_start: LateStartLimits = field(default_factory=LateStartLimits)
    scene: SceneLimits = field(default_factory=SceneLimits)
    cap: CapLimits = field(default_factory=CapLimits)
    screen: ScreenLimits = field(default_factory=ScreenLimits)
    level: LevelLimits = field(default_factory=LevelLimits)
    hitches: HitchLimits = field(default_factory=HitchLimits)
    scatter: ScatterLimits = field(default_factory=ScatterLimits)
    warm_up: WarmUpLimits = field(default_factory=WarmUpLimits)
    throttle: ThrottleLimits = field(default_factory=ThrottleLimits)
    readings: ReadingsLimits = field(default_factory=ReadingsLimits)
    power: PowerLimits = field(default_factory=PowerLimits)
    fan: FanLimits = field(default_factory=FanLimits)
    memory: MemoryLimits = field(default_factory=MemoryLimits)
    background: BackgroundLimits = field(default_factory=BackgroundLimits)
    room: RoomLimits = field(default_factory=RoomLimits)
    reading: ReadingLimits = field(default_factory=ReadingLimits)
    learning: LearningLimits = field(default_factory=LearningLimits)


DEFAULT = Thresholds()


@dataclass(frozen=True, slots=True, kw_only=True)
class Threshold:
    """One threshold as a row of a table."""

    name: str
    value: object
    unit: str
    reason: str


def reasons(thresholds: Thresholds = DEFAULT) -> Iterator[Threshold]:
    """Every threshold with its value, unit and reason, in the order of the kinds.

    >>> next(reasons()).name
    'units.seconds_below_ms'
    """
    for group in fields(thresholds):
        limits = getattr(thresholds, group.name)
        for item in fields(limits):
            yield Threshold(
                name=f"{group.name}.{item.name}",
                value=getattr(limits, item.name),
                unit=item.metadata["unit"],
                reason=item.metadata["reason"],
            )
