"""What a slope of a rate says about the part that limits it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum


class Leaning(StrEnum):
    """What holds a test's rate back."""

    GRAPHICS = "graphics-limited"
    PROCESSOR = "processor-limited"
    MIXED = "mixed"
    NOT_SHOWN = "not shown"


@dataclass(frozen=True, slots=True, kw_only=True)
class Zone:
    """How large a slope is where a part limits (`strong`), and where it does not (`weak`).

    `sign` is that of a strong slope; `why` gives the reason for both numbers.
    """

    strong: float
    weak: float
    sign: float
    why: str


PIXELS = Zone(
    strong=0.7, weak=0.15, sign=-1.0,
    why="a rate bound by pixels falls as they grow, −1 if every pixel costs alike and −0.7 with work that "
    "does not grow with them; one bound elsewhere stays, but for 0.15 that view and level of detail add",
)  # fmt: skip
CLOCK = Zone(
    strong=0.7, weak=0.2, sign=1.0,
    why="of a rate bound by one clock 0.7 or more of its gain is seen, the rest waits for memory; of a clock "
    "that does not bind no more than 0.2",
)  # fmt: skip

ZONES: Mapping[str, tuple[Zone, Leaning, Leaning]] = {
    "pixels": (PIXELS, Leaning.GRAPHICS, Leaning.PROCESSOR),
    "graphics": (CLOCK, Leaning.GRAPHICS, Leaning.NOT_SHOWN),
    "processor": (CLOCK, Leaning.PROCESSOR, Leaning.NOT_SHOWN),
}
"""By what was set: its zone, what a strong slope says, and what a weak one says.

A rate that does not follow a clock may be held by any other part; one that does not follow pixels is not held
by the part that draws them.
"""


def leaning_of(part: str, low: float | None, high: float | None) -> Leaning:
    """What an interval of a slope says: strong or weak where it lies there altogether, mixed in between.

    Strong: the interval holds nothing weaker than half-way between weak and strong, and reaches `strong`.
    Weak likewise. Mixed: it lies wholly between weak and strong. Anything else shows nothing.

    >>> [str(leaning_of("pixels", *ends)) for ends in ((-1.02, -0.8), (-0.05, 0.04), (-0.6, -0.4), (-1, 0))]
    ['graphics-limited', 'processor-limited', 'mixed', 'not shown']
    """
    if part not in ZONES or low is None or high is None:
        return Leaning.NOT_SHOWN
    zone, when_strong, when_weak = ZONES[part]
    near, far = sorted((zone.sign * low, zone.sign * high))
    middle = (zone.strong + zone.weak) / 2
    if zone.weak < near and far < zone.strong:
        return Leaning.MIXED
    if near > middle:
        return when_strong
    return when_weak if far < middle else Leaning.NOT_SHOWN
