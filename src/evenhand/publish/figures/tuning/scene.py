"""What a map of a tuned part shows, and what stands over and under it, whichever axes it has."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from evenhand.publish.direction import isolated
from evenhand.publish.figures.card_frame import card_frame
from evenhand.publish.figures.frame import Frame, finish
from evenhand.publish.figures.tuning.keys import keyed, whose
from evenhand.publish.figures.tuning.limit_words import limit_sentence, source_line
from evenhand.publish.figures.tuning.marks import counts, keys_of
from evenhand.publish.figures.tuning.plot import heading
from evenhand.publish.names import Names
from evenhand.publish.numbers import counted, level_words, number, with_unit
from evenhand.publish.picture import Picture
from evenhand.publish.style import Style
from evenhand.publish.svg import Drawn
from evenhand.publish.tuning.titles import map_titles
from evenhand.publish.tuning.words import clock_words, hours_words, part_words, voltage_words, whose_words
from evenhand.records.trials import Limit, Trial
from evenhand.tuning.advice import SHARE, Advice
from evenhand.tuning.edge import EDGE_RATE
from evenhand.tuning.planning import NextTrial

TEN_MINUTES = hours_words(1 / EDGE_RATE)


@dataclass(frozen=True, slots=True, kw_only=True)
class TuningMap:
    """What a map shows of one part under one load.

    `advice` is by clock, ascending; `against` are points (clock, voltage) whose outcome contradicts that of
    another. `limit` is as the part's voltages are written, so less stock where these are offsets;
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
        said = [source_line(limit)]
    if not edges:
        return said
    goal = edges[-1].goal
    room = with_unit(number(goal.room_c), "°C")
    edge = f"Edge: one failure in {TEN_MINUTES} at {room}."
    if all(each.voltage_mv is None for each in edges):
        return [*said, edge]
    rare = with_unit(number(1 / goal.rate), "h")
    advised = f"Advised: one failure in {rare} at {room}, at {level_words(SHARE)}. Copy it to no other part."
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


@dataclass(frozen=True, slots=True, kw_only=True)
class Begun:
    """A map without its plot, which may begin at `top`: the frame, its sentence, the names, the keys."""

    frame: Frame
    said: str
    names: Names
    keys: list[Drawn]
    top: float


def begun_map(
    found: TuningMap, edges: Sequence[Advice], names: Names, *, plot: float, style: Style,
    stock: bool = False,
) -> Begun:  # fmt: skip
    """A map with all that stands over and under its plot, which may be `plot` times the type size high.

    `stock`: whether stock has a mark of its own.
    """
    names = replace(names.drawn(), terms="")  # how it was tuned is told here itself
    part = isolated(part_words(found.part))
    titles = map_titles(found.trials, found.told, part=part, offset=found.offset, stock=found.stock)
    said = heading(titles, style)
    begun = card_frame(
        said, foot(found, edges), names, style, wanted=plot * style.text[1], more_foot=1, more_wide=1
    )
    who = whose(found.setup, f"{part_words(found.part)}, {isolated(found.load)}", names)
    marks = keys_of(found.trials, against=len(found.against), next_said=next_said(found), stock=stock)
    keys, top = keyed([who, *marks], begun.body, style)
    return Begun(frame=begun, said=said, names=names, keys=keys, top=top)


def ended_map(found: TuningMap, begun: Begun, plot: Sequence[Drawn], *, seen: str) -> Picture:
    """The map as a picture; `seen` says what is seen to whoever cannot see it."""
    part = isolated(part_words(found.part))
    return finish(
        begun.frame, [*begun.keys, *plot], title=f"{begun.said} ({begun.names.setup(found.setup)}, {part})",
        description=seen, names=begun.names,
    )  # fmt: skip


def limit_said(found: TuningMap, *, above: bool) -> tuple[str, ...]:
    """What stands at the limit, whose it is in the fullest wording; one `above` the picture is told there."""
    if found.limit is None:
        return "no maker's limit on record", "no limit on record"
    most = f"limit {_most(found, found.limit)}{', above' if above else ''}"
    return f"{whose_words(found.limit).removeprefix('the ')} {most}", most


def tried_seen(found: TuningMap) -> str:
    """How many trials ended in which way, as a sentence."""
    if not found.trials:
        return "No trial yet."
    ways = ", ".join(f"{way} {number(n)}" for way, n in counts(found.trials).items())
    return f"{counted(len(found.trials), 'trial').capitalize()}: {ways}."


def limit_seen(found: TuningMap) -> str:
    """The limit as a sentence, with whose it is and its source."""
    if found.limit is None:
        return "No limit of the maker's is on record."
    return limit_sentence(found.limit, f"is {_most(found, found.limit)}")


def _most(found: TuningMap, limit: Limit) -> str:
    if found.clock_alone:
        return clock_words(limit.most)
    return voltage_words(limit.most, offset=found.offset)


def next_said(found: TuningMap) -> str:
    """The trial that comes next in few words."""
    if found.next is None:
        return ""
    at = clock_words(found.next.clock_mhz)
    if not found.clock_alone:
        at += f", {voltage_words(found.next.voltage_mv, offset=found.offset)}"
    return f"next: {at} for {hours_words(found.next.hours)}"
