"""What a tuned part draws, as its page shows it: by each meter, with how that is known behind it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from evenhand.desk.on_record import StudyOnRecord
from evenhand.desk.pages.tuning_part import Drawn
from evenhand.desk.tuning.asking_watts import watts_of_study
from evenhand.desk.tuning.standing import TuningNow
from evenhand.desk.tuning.watts import OfMeter
from evenhand.desk.tuning.watts_said import best_said, grounds_said, points_said
from evenhand.desk.tuning.watts_scene import watts_scene
from evenhand.publish.figures.tuning.watts_curve import WattsCurve, watts_curve
from evenhand.publish.names import Names
from evenhand.publish.style import page, phone
from evenhand.publish.tuning.watts import APART, NOTHING_READ, band_words, lawful_words
from evenhand.publish.tuning.words import point_words
from evenhand.records.trials import Meter
from evenhand.store.workbench import Workbench

HEADINGS = {Meter.PART: "By its own sensor", Meter.WALL: "At the wall"}


@dataclass(frozen=True, slots=True, kw_only=True)
class WattsRow:
    """A row of the same numbers: a point, what it is, its watts and its work for a joule over stock."""

    point: str
    what: str
    watts: str
    gain: str


@dataclass(frozen=True, slots=True, kw_only=True)
class MeterShown:
    """What one meter tells: sentences first, the picture with its numbers, and how it is known."""

    heading: str
    told: tuple[str, ...]
    grounds: tuple[str, ...]
    drawn: Drawn | None = None
    rows: tuple[WattsRow, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class WattsShown:
    """The section: `lead` where nothing was read, or two meters were."""

    lead: str
    meters: tuple[MeterShown, ...] = ()


def watts_shown(wb: Workbench, record: StudyOnRecord, now: TuningNow, names: Names) -> WattsShown:
    """What the watts of a series tell in a study."""
    found = watts_of_study(wb, record, now)
    if not found.meters:
        return WattsShown(lead=NOTHING_READ)
    return WattsShown(
        lead=APART if len(found.meters) > 1 else "",
        meters=tuple(_meter(each, now, names) for each in found.meters),
    )


def _meter(found: OfMeter, now: TuningNow, names: Names) -> MeterShown:
    offset, scene = now.series.tuned.offset, watts_scene(now, found)
    return MeterShown(
        heading=HEADINGS[found.metered.meter],
        told=(*points_said(found, offset=offset), *best_said(found, offset=offset)),
        grounds=tuple(grounds_said(found)), drawn=None if scene is None else _drawn(scene, names),
        rows=() if scene is None else tuple(_rows(scene)),
    )  # fmt: skip


def _drawn(scene: WattsCurve, names: Names) -> Drawn:
    return Drawn(
        wide=watts_curve(scene, names, style=page()), narrow=watts_curve(scene, names, style=phone())
    )


def _rows(scene: WattsCurve) -> Iterator[WattsRow]:
    """What the picture shows: stock, the law along its points, every trial as it was read."""
    yield WattsRow(
        point=point_words(*scene.stock, offset=scene.offset), what="stock, by the law",
        watts=band_words(scene.stock_w, "W"), gain="",
    )  # fmt: skip
    for law in scene.law:
        what = "advised" if not scene.by_voltage or law is scene.best else "at this voltage"
        watts, gain = lawful_words(law.watts, law.gain)
        gain = "" if law.point == scene.stock else gain  # over itself there is none
        yield WattsRow(
            point=point_words(*law.point, offset=scene.offset), what=f"{what}, by the law",
            watts=watts, gain=gain,
        )  # fmt: skip
    for read in scene.read:
        watts, gain = lawful_words(read.watts, read.gain)
        yield WattsRow(
            point=point_words(*read.point, offset=scene.offset), what=f"trial {read.trial}, {read.ended}",
            watts=watts, gain=gain,
        )  # fmt: skip
