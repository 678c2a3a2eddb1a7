"""What else was measured of a study: noise, heat at equal noise, watts at the wall and what a frame costs."""

from __future__ import annotations

from dataclasses import dataclass, replace

from evenhand.desk.comparison.cells import cell
from evenhand.desk.on_record import StudyOnRecord
from evenhand.findings.finding import Cell
from evenhand.findings.gaps import Gap
from evenhand.findings.power import PowerFindings, power_findings
from evenhand.findings.sound import sounds
from evenhand.findings.temperature import temperatures_at_equal_noise
from evenhand.metrics.wall import FRAME_ENERGY, WALL_KEYS
from evenhand.records.sound import SoundReading
from evenhand.records.tests import Measures
from evenhand.store import sound as sound_store
from evenhand.store.workbench import Workbench


@dataclass(frozen=True, slots=True, kw_only=True)
class OtherEvidence:
    """What speaks beside speed: gaps in decibels and kelvins, and findings in watts and joules a frame."""

    readings: tuple[SoundReading, ...]
    noise: tuple[Gap, ...]
    heat: tuple[Gap, ...]
    power: PowerFindings

    @property
    def gaps(self) -> tuple[Gap, ...]:
        """Noise and heat together."""
        return (*self.noise, *self.heat)


def other_evidence(wb: Workbench, record: StudyOnRecord) -> OtherEvidence:
    """What meters and thermometers say of the setups that are compared."""
    setups, tests = record.study.setups, record.study.tests
    heard = wb.lately(("heard", setups, tests), lambda: _heard(wb, setups, tests))
    return replace(
        heard,
        power=record.once("power", lambda r: power_findings(wall_cells(r), study=r.study)),
    )


def _heard(wb: Workbench, setups: tuple[str, ...], tests: tuple[str, ...]) -> OtherEvidence:
    """What sound meters and thermometers say, without power."""
    readings = sound_store.readings_of(wb, setups)
    return OtherEvidence(
        readings=readings, noise=sounds(readings, setups=setups, tests=tests),
        heat=temperatures_at_equal_noise(readings, setups=setups),
        power=PowerFindings(findings=(), unread=()),
    )  # fmt: skip


def wall_cells(record: StudyOnRecord) -> tuple[Cell, ...]:
    """Cells of watts for every compared test and setup, and of joules a frame where it has frames."""
    return tuple(
        cell(record, test, setup, metric)
        for metric in WALL_KEYS
        for test in record.compared_tests
        if metric != FRAME_ENERGY or test.measures is Measures.FRAMES
        for setup in record.study.setups
    )
