"""What a tuned part draws, as its page shows it: by each meter, with how that is known behind it."""

from __future__ import annotations

from dataclasses import dataclass

from evenhand.desk.on_record import StudyOnRecord
from evenhand.desk.tuning.asking_watts import watts_of_study
from evenhand.desk.tuning.standing import TuningNow
from evenhand.desk.tuning.watts import OfMeter
from evenhand.desk.tuning.watts_said import best_said, grounds_said, points_said
from evenhand.publish.watts_words import APART, NOTHING_READ
from evenhand.records.trials import Meter
from evenhand.store.workbench import Workbench

HEADINGS = {Meter.PART: "By its own sensor", Meter.WALL: "At the wall"}


@dataclass(frozen=True, slots=True, kw_only=True)
class MeterShown:
    """What one meter tells: sentences first, and how it is known."""

    heading: str
    told: tuple[str, ...]
    grounds: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class WattsShown:
    """The section: `lead` where nothing was read, or two meters were."""

    lead: str
    meters: tuple[MeterShown, ...] = ()


def watts_shown(wb: Workbench, record: StudyOnRecord, now: TuningNow) -> WattsShown:
    """What the watts of a series tell in a study."""
    found = watts_of_study(wb, record, now)
    if not found.meters:
        return WattsShown(lead=NOTHING_READ)
    return WattsShown(
        lead=APART if len(found.meters) > 1 else "",
        meters=tuple(_meter(each, offset=found.tuned.offset) for each in found.meters),
    )


def _meter(found: OfMeter, *, offset: bool) -> MeterShown:
    return MeterShown(
        heading=HEADINGS[found.metered.meter],
        told=(*points_said(found, offset=offset), *best_said(found, offset=offset)),
        grounds=tuple(grounds_said(found)),
    )
