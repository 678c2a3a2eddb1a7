"""A line that a run is held at, as each route reports it."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, field

import numpy as np

from evenhand.records.faults import Place
from evenhand.triage.curves import Flags, Floats
from evenhand.triage.features import Features
from evenhand.triage.limits.rates import CapLimits
from evenhand.triage.plateaus import Shape, held_at
from evenhand.triage.wording import share

_PLACES = 12


@dataclass(frozen=True, slots=True, kw_only=True)
class Held:
    """A line that a run is held at: log of its frame time, what shows it, share of the run, and the route.

    `sure` is False where it is worth saying and not worth holding. `places` are the stretches it was found
    in, where the route looks for stretches; else it is looked up afterwards. `more` are further numbers.
    """

    line: float
    shown: str
    share: float
    route: int
    sure: bool = True
    places: tuple[Place, ...] = ()
    more: dict[str, float] = field(default_factory=dict)

    @property
    def rate_fps(self) -> float:
        """The line as a rate."""
        return 1000 / math.exp(self.line)


def at_line(held: Held, run: Features, limits: CapLimits) -> tuple[Place, ...]:
    """The longest stretches at the line, in order of time; hitches within them part none."""
    starts = run.block_starts_s
    at = np.abs(run.blocks - held.line) <= limits.held_tol
    return longest(spans(at, starts, starts + run.block_s, limits.bridged_blocks))


def spans(at: Flags, starts_s: Floats, ends_s: Floats, bridged: int) -> tuple[Place, ...]:
    """Where a run's pieces are marked; unmarked ones between, up to `bridged` on end, part nothing.

    >>> at = np.array([True, False, True, True, False, False, True])
    >>> [(p.from_s, p.to_s) for p in spans(at, np.arange(7.0), np.arange(1.0, 8.0), 1)]
    [(0.0, 4.0), (6.0, 7.0)]
    """
    own = np.flatnonzero(at)
    if not own.size:
        return ()
    parts = np.split(own, np.flatnonzero(np.diff(own) > bridged + 1) + 1)
    return tuple(Place(from_s=float(starts_s[p[0]]), to_s=float(ends_s[p[-1]])) for p in parts)


def longest(places: Sequence[Place]) -> tuple[Place, ...]:
    """The longest of them, as many as a picture can show, in order of time."""
    most = sorted(places, key=lambda p: p.from_s - p.to_s)[:_PLACES]
    return tuple(sorted(most, key=lambda p: p.from_s))


def stand_apart(centre: float, others: Sequence[float], limits: CapLimits) -> bool:
    """Whether some sibling stands still at a rate of its own, as near as free runs are: a still scene.

    `others` are the centres of siblings that stand still too. One further away than free runs lie from each
    other was held at another rate.

    >>> stand_apart(2.0, [2.01], CapLimits()), stand_apart(2.0, [2.0005], CapLimits())
    (True, False)
    """
    spread = max(others) - min(others) if others else 0.0
    reach = max(limits.own_rate_within, limits.own_rate_ranges * spread)
    return any(limits.same_span_most < abs(other - centre) < reach for other in others)


def flats(siblings: Sequence[Shape], limits: CapLimits) -> list[float]:
    """Where siblings stand still, as logs of frame time."""
    return [s.flat.centre for s in siblings if s.flat is not None and s.flat.at_side >= limits.same_share]


def stillest(sibling: Shape, limits: CapLimits) -> float:
    """The largest share of a run's blocks that lie at one rate of its own."""
    return held_at(sibling.run, sibling.flat.centre, limits)[0] if sibling.flat is not None else 1.0


def quicker(part: float, by: float) -> str:
    r"""How much of the run is quicker than a line by more than `by` (ln), in words.

    >>> quicker(0.0, 0.015), quicker(0.004, 0.015)
    ('none is quicker by more than 1.5\xa0%', '0.4\xa0% are quicker by more than 1.5\xa0%')
    """
    beyond = f"quicker by more than {share(by)}"
    return f"none is {beyond}" if part == 0 else f"{share(part)} are {beyond}"
