"""What a sound level meter read, as a reviewer says it: readings added, taken back and put back."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import replace
from datetime import datetime
from statistics import median_low

from evenhand.desk.study.checking import Checked, Given, sound
from evenhand.desk.study.shelving import refuse_closed
from evenhand.desk.study.used_by import setups_of
from evenhand.desk.study.worth_checks import checked_reading
from evenhand.errors import NotFound, nearest
from evenhand.findings.sound import SAME_PLACE_M
from evenhand.publish.worth_words import near_room_words, other_distance_words, other_filter_words
from evenhand.records.builds import Setup
from evenhand.records.sound import SoundReading
from evenhand.records.studies import Study
from evenhand.stats.decibels import LEAST_EXCESS_DB
from evenhand.store import shelves
from evenhand.store import sound as sound_store
from evenhand.store.workbench import Workbench


def readings_told(wb: Workbench, study: str, setup: str | None = None) -> tuple[SoundReading, ...]:
    """The readings of a study's setups, or of one of them. Raises NotFound."""
    setups = setups_of(wb, shelves.one(wb, Study, study))
    if setup is not None and setup not in setups:
        raise NotFound(f"'{setup}' is not a setup of this study", where=study, todo=nearest(setup, setups))
    return sound_store.readings_of(wb, setups if setup is None else [setup])


def drafted_reading(wb: Workbench, study: str, given: Given) -> Checked[SoundReading]:
    """A reading that is to be added beside a setup of a study."""
    record = shelves.one(wb, Study, study)
    return checked_reading(given, setups=setups_of(wb, record), tests=dict.fromkeys(record.tests))


def add_reading(wb: Workbench, study: str, given: Given, *, now: datetime) -> SoundReading:
    """A reading beside a setup of a study. Raises BadRecord that names the field."""
    with wb.writing():
        reading = sound(drafted_reading(wb, study, given))
        refuse_closed(wb, shelves.one(wb, Setup, reading.setup))
        return sound_store.add_reading(wb, reading, at=now)


def take_back(wb: Workbench, study: str, number: int, *, now: datetime, setup: str = "") -> SoundReading:
    """A reading of one of a study's setups counts no more; it stays on record. Raises NotFound.

    Where a `setup` is named, the reading must be beside that one.
    """
    with wb.writing():
        reading = reading_numbered(wb, study, number, setup)
        if not stands(wb, reading):
            raise NotFound(
                f"reading {number} was taken back before",
                where=study,
                todo="put it back, if it was no mistake",
            )
        refuse_closed(wb, shelves.one(wb, Setup, reading.setup))
        return sound_store.take_back_reading(wb, number, at=now)


def put_back(wb: Workbench, study: str, number: int, *, now: datetime, setup: str = "") -> SoundReading:
    """The same reading again, where it was taken back; it has a number of its own then."""
    with wb.writing():
        reading = reading_numbered(wb, study, number, setup)
        if stands(wb, reading):
            return reading
        refuse_closed(wb, shelves.one(wb, Setup, reading.setup))
        return sound_store.add_reading(wb, replace(reading, id=0), at=now)


def reading_numbered(wb: Workbench, study: str, number: int, setup: str = "") -> SoundReading:
    """A reading beside a study's setups, or beside one of them, taken back or not. Raises NotFound."""
    setups = setups_of(wb, shelves.one(wb, Study, study))
    for reading in sound_store.readings_of(wb, setups, ever=True):
        if reading.id == number and setup not in ("", reading.setup):
            raise NotFound(f"reading {number} is beside {reading.setup}", where=setup, todo="name that setup")
        if reading.id == number:
            return reading
    raise NotFound(f"there is no reading {number}", where=study, todo="see the setups and their readings")


def stands(wb: Workbench, reading: SoundReading) -> bool:
    """Whether a reading was not taken back."""
    return any(each.id == reading.id for each in sound_store.readings_of(wb, [reading.setup]))


def near_room(level_db: float | None, background_db: float | None) -> str:
    """What a level close to its background is good for, in words; "" where it is not close."""
    if level_db is None or background_db is None or level_db < background_db:
        return ""
    over = level_db - background_db
    return near_room_words(over, LEAST_EXCESS_DB) if over < LEAST_EXCESS_DB else ""


def unlike_others(reading: SoundReading, among: Sequence[SoundReading]) -> str:
    """That a reading was made otherwise than most of its test, in words; "" where it was not.

    One reading from another distance, or with another filter, keeps its setup from being compared there.
    """
    others = [each for each in among if each.test == reading.test and each.id != reading.id]
    if not others:
        return ""
    ((usual, _),) = Counter(each.weighting for each in others).most_common(1)
    if reading.weighting != usual:
        return other_filter_words(reading.weighting, usual)
    distances = [each.distance_m for each in others if each.distance_m is not None]
    if reading.distance_m is None or not distances:
        return ""
    most = median_low(distances)
    apart = abs(reading.distance_m - most) > SAME_PLACE_M
    return other_distance_words(reading.distance_m, most) if apart else ""
