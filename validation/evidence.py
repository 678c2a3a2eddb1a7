"""Noise, and temperature at equal noise, on simulated readings of known truth.

    python -m validation.evidence [--draws 2000] [--seed 20261128]

Every draw goes through `findings.sound` or `findings.temperature` as readings of a study do. Prints a
markdown table.
"""

from __future__ import annotations

import argparse
import math
from collections.abc import Callable, Iterator
from dataclasses import dataclass

import numpy as np
from rich.console import Console

from evenhand.findings.finding import Outcome
from evenhand.findings.gaps import Gap
from evenhand.findings.sound import sounds
from evenhand.findings.temperature import temperatures_at_equal_noise
from evenhand.records.sound import SoundReading

Draw = Callable[[np.random.Generator], "Drawn"]
PAIR = ("a", "b")
BACKGROUND_DB = 30.0
COVERS = (0.93, 0.97)


@dataclass(frozen=True, slots=True, kw_only=True)
class Drawn:
    """A gap that was found, and the difference that is true."""

    gap: Gap
    truth: float
    alone: tuple[float, float] = (0.0, 0.0)


@dataclass(frozen=True, slots=True, kw_only=True)
class Figure:
    """What was counted: events of chances, and the bounds in which the share should lie."""

    world: str
    what: str
    events: int
    chances: int
    goal: tuple[float, float] | None = None

    @property
    def share(self) -> float:
        """Events over chances."""
        return self.events / self.chances if self.chances else math.nan


@dataclass(frozen=True, slots=True, kw_only=True)
class SoundWorld:
    """Two machines alone at `excess` and `excess` + `apart` dB over the level that doubles the room.

    Readings of total and room scatter by `sd`, those of b by `sd_b` where it is another.
    """

    name: str
    source: float
    apart: float = 2.0
    n: int = 3
    sd: float = 0.4
    sd_b: float | None = None
    meter_db: float = 0.0

    def draw(self, rng: np.random.Generator) -> Drawn:
        """Readings of both, and what is found of them."""
        alone = (BACKGROUND_DB + self.source, BACKGROUND_DB + self.source + self.apart)
        sds = (self.sd, self.sd if self.sd_b is None else self.sd_b)
        readings = [
            SoundReading(
                setup=key,
                level_db=_sum(level, BACKGROUND_DB) + rng.normal(0, sd),
                background_db=BACKGROUND_DB + rng.normal(0, sd),
            )
            for key, level, sd in zip(PAIR, alone, sds, strict=True)
            for _ in range(self.n)
        ]
        (gap,) = sounds(readings, setups=PAIR, meter_db=self.meter_db)
        return Drawn(gap=gap, truth=-self.apart, alone=alone)


def _sum(one: float, other: float) -> float:
    return 10.0 * math.log10(10.0 ** (one / 10.0) + 10.0 ** (other / 10.0))


@dataclass(frozen=True, slots=True, kw_only=True)
class HeatWorld:
    """A part on lines of temperature over level, `apart` K between the machines at every level."""

    name: str
    n: int = 3
    span: float = 6.0
    slope: float = -1.0
    apart: float = 3.0
    sd: float = 0.5
    sd_b: float | None = None
    level_sd: float = 0.0
    curved: float = 0.0

    def draw(self, rng: np.random.Generator) -> Drawn:
        """Readings of both at fan settings spread evenly over the span, b's half a step further."""
        step = self.span / max(self.n - 1, 1)
        sds = (self.sd, self.sd if self.sd_b is None else self.sd_b)
        readings = []
        for at, (key, sd) in enumerate(zip(PAIR, sds, strict=True)):
            for k in range(self.n):
                level = 38.0 + step * (k + at / 2)
                above = (
                    40.0 - at * self.apart + self.slope * (level - 41.0) + self.curved * (level - 41.0) ** 2
                )
                readings.append(
                    SoundReading(
                        setup=key, level_db=level + rng.normal(0, self.level_sd), background_db=0.0,
                        temperatures_c={"processor": 24.0 + above + rng.normal(0, sd)}, room_c=24.0,
                    )
                )  # fmt: skip
        (gap,) = temperatures_at_equal_noise(readings, setups=PAIR, sensor_k=0.0)
        return Drawn(gap=gap, truth=self.apart)


def counted(
    name: str, draw: Draw, *, draws: int, rng: np.random.Generator, goal: bool = True
) -> Iterator[Figure]:
    """Coverage where an interval was told, how often it was refused, and bounds that the truth broke."""
    seen = [draw(rng) for _ in range(draws)]
    told = [d for d in seen if d.gap.low is not None and d.gap.high is not None]
    inside = sum((d.gap.low or 0.0) <= d.truth <= (d.gap.high or 0.0) for d in told)
    if len(told) >= draws / 2:
        yield Figure(
            world=name, what="95 % interval of the difference", events=inside, chances=len(told),
            goal=COVERS if goal else None,
        )  # fmt: skip
    if len(told) < draws:
        yield Figure(world=name, what="refused", events=draws - len(told), chances=draws)
    if told and told[0].truth == 0.0:
        called = sum(d.gap.outcome in (Outcome.AHEAD, Outcome.BEHIND) for d in told)
        yield Figure(
            world=name, what="equal machines called apart", events=called, chances=len(told), goal=(0, 0.036)
        )


def bounds_broken(world: SoundWorld, *, draws: int, rng: np.random.Generator) -> Figure:
    """Of sides that were refused, how often the machine was louder than the most that was told of it."""
    seen = [world.draw(rng) for _ in range(draws)]
    sides = [
        (most, alone)
        for d in seen
        for most, alone in zip((d.gap.most_a, d.gap.most_b), d.alone, strict=True)
        if most is not None
    ]
    broken = sum(alone > most for most, alone in sides)
    return Figure(
        world=world.name, what="louder than was told", events=broken, chances=len(sides), goal=(0, 0.05)
    )


SOUND = (
    SoundWorld(name="sound, 20 dB over the room, n = 3", source=20.0),
    SoundWorld(name="sound, 10 dB over the room, n = 3", source=10.0),
    SoundWorld(name="sound, 10 dB over the room, n = 5", source=10.0, n=5),
    SoundWorld(name="sound, 3 dB over the room (read as 4.8 above it), n = 3", source=3.0),
    SoundWorld(name="sound, 3 dB over the room, n = 5", source=3.0, n=5),
    SoundWorld(name="sound, as loud as the room (read as 3.0 above it), n = 3", source=0.0),
    SoundWorld(name="sound, readings scatter by 1 dB, 6 dB over the room, n = 3", source=6.0, sd=1.0),
    SoundWorld(name="sound, b scatters twice as much, n = 5", source=10.0, n=5, sd_b=0.8),
    SoundWorld(name="sound, equal machines, n = 3", source=10.0, apart=0.0),
    SoundWorld(name="sound, equal machines, n = 5", source=10.0, apart=0.0, n=5),
)

DROWNED = (
    SoundWorld(name="sound, 2 dB under the room, n = 3", source=-2.0, apart=0.0, meter_db=0.5),
    SoundWorld(name="sound, 6 dB under the room, n = 3", source=-6.0, apart=0.0, meter_db=0.5),
)

HEAT = (
    HeatWorld(name="temperature, all levels alike, n = 3", span=0.0),
    HeatWorld(name="temperature, all levels alike, n = 5", span=0.0, n=5),
    HeatWorld(name="temperature, lines of 3 readings"),
    HeatWorld(name="temperature, lines of 4 readings", n=4),
    HeatWorld(name="temperature, lines of 6 readings", n=6),
    HeatWorld(name="temperature, lines of 6, b scatters twice as much", n=6, sd_b=1.0),
    HeatWorld(name="temperature, lines of 4, levels read 0.2 dB off", n=4, level_sd=0.2),
    HeatWorld(name="temperature, lines of 3, equal machines", apart=0.0),
    HeatWorld(name="temperature, lines of 6, equal machines", apart=0.0, n=6),
)

CURVED = HeatWorld(name="temperature, curves by 0.05 K/dB², taken for lines of 4", n=4, curved=0.05)


def figures(*, draws: int, seed: int) -> Iterator[Figure]:
    """Every figure, worlds in order."""
    rng = np.random.default_rng(seed)
    for sound in SOUND:
        told = sound.source >= 3.0
        yield from counted(sound.name, sound.draw, draws=draws, rng=rng, goal=told)
    yield from (bounds_broken(world, draws=draws, rng=rng) for world in DROWNED)
    for heat in HEAT:
        yield from counted(heat.name, heat.draw, draws=draws, rng=rng)
    yield from counted(CURVED.name, CURVED.draw, draws=draws, rng=rng, goal=False)


def table(found: Iterator[Figure]) -> Iterator[str]:
    """The figures as a markdown table."""
    yield "| readings | what | goal | measured | ± | met | counted |"
    yield "|---|---|---|---|---|---|---|"
    for f in found:
        error = math.sqrt(f.share * (1 - f.share) / f.chances) if f.chances else math.nan
        goal = "" if f.goal is None else f"{100 * f.goal[0]:g}–{100 * f.goal[1]:g} %"
        met = "" if f.goal is None else "yes" if f.goal[0] <= f.share <= f.goal[1] else "no"
        measured = f"{100 * f.share:.1f} % | {100 * error:.1f}"
        yield f"| {f.world} | {f.what} | {goal} | {measured} | {met} | {f.chances} |"


def main() -> None:
    """Prints the table."""
    words = argparse.ArgumentParser(description=__doc__)
    words.add_argument("--draws", type=int, default=2000)
    words.add_argument("--seed", type=int, default=20261128)
    asked = words.parse_args()
    for line in table(figures(draws=asked.draws, seed=asked.seed)):
        Console(width=200).print(line, highlight=False, soft_wrap=True)


if __name__ == "__main__":
    main()
