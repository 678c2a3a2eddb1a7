"""What a map of a tuned part shows, and what stands over and under it, whichever axes it has."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from evenhand.publish.dates import day_words
from evenhand.publish.direction import isolated
from evenhand.publish.faces import Face
from evenhand.publish.figures.tuning_plot import Key
from evenhand.publish.names import Names
from evenhand.publish.numbers import level_words, number, with_unit
from evenhand.publish.svg import mark
from evenhand.publish.tuning_words import clock_words, hours_words, part_words, voltage_words
from evenhand.records.trials import Limit, Trial
from evenhand.tuning.advice import SHARE, Advice
from evenhand.tuning.edge import EDGE_RATE
from evenhand.tuning.planning import NextTrial

TEN_MINUTES = hours_words(1 / EDGE_RATE)


@dataclass(frozen=True, slots=True, kw_only=True)
class TuningMap:
    """What a map shows of one part under one load.

    `advice` is by clock, ascending; `against` are points (clock, voltage) whose outcome contradicts that of
    another. `limit` is the maker's as the part's voltages are written, so less stock where these are offsets;
    with `clock_alone` it is that of the clock, since the voltage is left alone. `stock` is where stock lies.
    `clock_limit` bounds what runs across; `step` is the firmware's of what runs upward (mV, or MHz with
    `clock_alone`), counted from `step_from`; 0 where it is not known.
    """

    setup: str
    part: str
    load: str
    trials: Sequence[Trial]
    advice: Sequence[Advice] = ()
    limit: Limit | None = None
    next: NextTrial | None = None
    against: frozenset[tuple[float, float]] = frozenset()
    offset: bool = False
    clock_alone: bool = False
    stock: tuple[float, float] | None = None
    clock_limit: Limit | None = None
    step: float = 0.0
    step_from: float = 0.0

    @property
    def told(self) -> Advice | None:
        """The advice that the sentence tells: of the highest clock with a voltage, else of the highest."""
        with_voltage = [each for each in self.advice if each.voltage_mv is not None]
        return next(reversed(with_voltage or self.advice), None)

    @property
    def points(self) -> list[tuple[float, float]]:
        """Every point on the map: those tried, and the next."""
        tried = [(trial.clock_mhz, trial.voltage_mv) for trial in self.trials]
        return [*tried, *([(self.next.clock_mhz, self.next.voltage_mv)] if self.next else [])]


def foot(found: TuningMap, edges: Sequence[Advice]) -> list[str]:
    """What is advised for what, whose limit it is, what edge and guard band mean; the weightiest first."""
    limit = found.limit
    said = ["No limit of the maker's is on record: nothing is advised."]
    if limit is not None:
        said = [f"Limit: {isolated(limit.source)}, read on {day_words(limit.read_on)}."]
    if not edges:
        return said
    goal = edges[-1].goal
    room = with_unit(number(goal.room_c), "°C")
    edge = f"Edge: one failure in {TEN_MINUTES} at {room}."
    if all(each.voltage_mv is None for each in edges):
        return [*said, edge]
    rare = with_unit(number(1 / goal.rate), "h")
    advised = f"Advised: one failure in {rare} at {room}, at {level_words(SHARE)}, for this part alone."
    return [advised, *said, edge, f"Guard band: edge to advised{_reserve(found)}."]


def _reserve(found: TuningMap) -> str:
    """How much of the guard band of the advice that is told is the reserve, as it follows in a sentence."""
    told = found.told
    if told is None or (told.reserve_mv is None and told.reserve_mhz is None):
        return ""
    kept = (
        with_unit(number(told.reserve_mv), "mV")
        if told.reserve_mv is not None
        else with_unit(number(told.reserve_mhz or 0.0), "MHz")
    )
    return f", {kept} of it reserve for what trials leave open"


def who(found: TuningMap, names: Names) -> Key:
    """Whose part it is and what ran, by the build's mark."""
    slot = names.slot(found.setup)
    text = f"{names.setup(found.setup)}: {part_words(found.part)}, {found.load}"
    return Key(sign=[mark(slot.mark, (0, 0), scale=1, ink=slot.ink)], text=text, face=Face.STRONG)


def next_said(found: TuningMap) -> str:
    """The trial that comes next in few words."""
    if found.next is None:
        return ""
    at = clock_words(found.next.clock_mhz)
    if not found.clock_alone:
        at += f", {voltage_words(found.next.voltage_mv, offset=found.offset)}"
    return f"next: {at} for {hours_words(found.next.hours)}"
