"""Simulated watts: whether what switches and the most efficient clock are found within their bands.

`python -m validation.watts [--parts N]` prints a markdown table. Each part has a capacitance, a leakage that
is exponential in voltage and temperature, and a voltage for each clock. It is measured at nine to sixteen
points, at clocks and voltages above what each needs, by a meter that scatters by 1 %.
"""

from __future__ import annotations

import argparse
from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from evenhand.stats.spread import Floats
from evenhand.tuning.bands import Band, Known
from evenhand.tuning.efficiency import Clocks, Cooled, clocks, highest_clock, most_per_joule
from evenhand.tuning.watts import Drawn, Leaks, fit_watts, points

STOCK_MHZ, LIMIT_C = 4000.0, 85.0
GRID = np.arange(2000.0, 5001.0, 250.0)


@dataclass(frozen=True, slots=True, kw_only=True)
class Part:
    """One simulated part under its cooler: what it draws, what clocks need, how its work follows them."""

    switched_nf: float
    leak_w: float
    by_voltage: float
    by_heat: float
    needs: Clocks
    elasticity: float
    cooled: Cooled

    def watts(self, v: Floats, f: Floats, t: Floats) -> Floats:
        """What it really draws."""
        found: Floats = 1e-3 * self.switched_nf * v**2 * f + self.leak_w * np.exp(
            self.by_voltage * (v - 1.0) + self.by_heat * (t - 50.0)
        )
        return found

    def settled(self, v: Floats, f: Floats) -> tuple[Floats, Floats]:
        """Temperature and watts that it really comes to."""
        t = np.full(f.shape, self.cooled.room_c.value)
        for _ in range(200):
            watts = self.watts(v, f, t)
            t = self.cooled.room_c.value + self.cooled.c_per_w.value * watts
        return t, watts


def part(rng: np.random.Generator) -> Part:
    """A part."""
    needs = 0.75 + rng.uniform(0.35, 0.5) * ((GRID - 2000) / 3000) ** rng.uniform(1.5, 2.2)
    return Part(
        switched_nf=rng.uniform(10, 25), leak_w=rng.uniform(3, 12), by_voltage=rng.uniform(1.5, 4),
        by_heat=rng.uniform(0.006, 0.012), needs=clocks(GRID, needs), elasticity=rng.uniform(0.5, 0.95),
        cooled=Cooled(c_per_w=Known(value=rng.uniform(0.2, 0.4)), room_c=Known(value=rng.uniform(18, 28))),
    )  # fmt: skip


def measured(one: Part, rng: np.random.Generator) -> Drawn:
    """What a fit says of it."""
    many = int(rng.integers(9, 17))
    f = rng.choice(GRID, many)
    v = np.interp(f, GRID, one.needs.voltage_v) + rng.uniform(0, 0.1, many)
    t = one.settled(v, f)[0]
    watts = one.watts(v, f, t) * (1 + 0.01 * rng.standard_normal(many))
    return fit_watts(points(v, f, watts, t))


def judged(one: Part, rng: np.random.Generator) -> dict[str, float]:
    """Which of its bands hold, and how wide they are."""
    power = measured(one, rng)
    at = float(rng.choice(GRID))
    v = np.interp(at, GRID, one.needs.voltage_v)
    t = one.settled(np.array([v]), np.array([at]))[0]
    watts = power.at(float(v), at, float(t[0]))
    true_w = float(one.watts(np.array([v]), np.array([at]), t)[0])
    beta = Known(value=one.elasticity + 0.03 * rng.standard_normal(), sd=0.03)
    told_c = Cooled(
        c_per_w=Known(value=one.cooled.c_per_w.value * (1 + 0.02 * rng.standard_normal()),
                      sd=0.02 * one.cooled.c_per_w.value),
        room_c=one.cooled.room_c,
    )  # fmt: skip
    best = most_per_joule(power, one.needs, STOCK_MHZ, beta, rng, cooled=told_c)
    true_best, true_gain = best_of(one)
    highest = highest_clock(power, told_c, one.needs, LIMIT_C, rng)
    true_highest = highest_of(one)
    return {
        "told to leak exponentially": float(power.leaks is Leaks.EXPONENTIAL), "surely so": float(power.sure),
        "growth by voltage told": float(power.volts_told), "growth by heat told": float(power.heat_told),
        "C": held(power.switched_nf, one.switched_nf),
        "C off": abs(power.switched_nf.value / one.switched_nf - 1),
        "watts": held(watts, true_w), "watts off": abs(watts.value / true_w - 1),
        "best clock": held(best.clock_mhz, true_best), "best clock, MHz to either side": best.clock_mhz.half,
        "its gain": held(best.gain, true_gain), "its gain off": abs(best.gain.value / true_gain - 1),
        "clock at the limit": np.nan if highest is None or not true_highest else held(highest, true_highest),
    }  # fmt: skip


def held(band: Band, truth: float) -> float:
    """1 where a band holds."""
    return float(band.low <= truth <= band.high)


def best_of(one: Part) -> tuple[float, float]:
    """The clock that really does most for a joule, and how much more than stock."""
    fine = one.needs.finer()
    watts = one.settled(fine.voltage_v, fine.clock_mhz)[1]
    work = one.elasticity * np.log(fine.clock_mhz / STOCK_MHZ) - np.log(watts)
    k = int(np.argmax(work))
    return float(fine.clock_mhz[k]), float(np.exp(work[k] - np.interp(STOCK_MHZ, fine.clock_mhz, work)))


def highest_of(one: Part) -> float:
    """The highest clock that really stays within the limit; 0 where none does."""
    fine = one.needs.finer()
    within = fine.clock_mhz[one.settled(fine.voltage_v, fine.clock_mhz)[0] <= LIMIT_C]
    return float(within.max(initial=0.0))


def lines(rows: list[dict[str, float]]) -> Iterator[str]:
    """The table."""
    yield "| what | mean over parts |\n|---|---|"
    for key in rows[0]:
        mean = float(np.nanmean([row[key] for row in rows]))
        yield f"| {key} | {mean:.0f} |" if "MHz" in key else f"| {key} | {100 * mean:.1f} % |"


def main() -> None:
    """Simulate and print."""
    asked = argparse.ArgumentParser(description=__doc__)
    asked.add_argument("--parts", type=int, default=500)
    asked.add_argument("--seed", type=int, default=20261129)
    given = asked.parse_args()
    rng = np.random.default_rng(given.seed)
    rows = [judged(part(rng), rng) for _ in range(given.parts)]
    print("\n".join(lines(rows)))


if __name__ == "__main__":
    main()
