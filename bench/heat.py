"""A thermal network of two stages from an hour's log, read once a second: ``python -m bench.heat``.

Against fitting every value at once, with the sum done row by row, as it is first written. Gates no test.
"""

from __future__ import annotations

import math
import time
from collections.abc import Callable

import numpy as np
from validation.heat import World, logged, part

from evenhand.stats.spread import Floats
from evenhand.tuning.heat_log import HeatLog
from evenhand.tuning.network_fit import fit_network

ROUNDS = 5


def plainly(log: HeatLog) -> Floats:
    """Time constants, resistances and beginnings by least squares over all six at once."""
    from scipy.optimize import least_squares

    room = np.zeros(log.time_s.size) if log.room_c is None else log.room_c
    step, watts = log.step_s, log.watts.tolist()

    def left(values: Floats) -> Floats:
        total = room - log.temperature_c
        for seconds, c_per_w, start in zip(np.exp(values[:2]), values[2:4], values[4:].tolist(), strict=True):
            stays, x, warm = math.exp(-step / seconds), start, [start]
            for drawn in watts[1:]:
                x = x * stays + c_per_w * drawn * (1 - stays)
                warm.append(x)
            total = total + np.array(warm)
        return total

    begin = np.array([math.log(60.0), math.log(900.0), 0.2, 0.1, 5.0, 5.0])
    found: Floats = least_squares(left, begin, x_scale="jac").x
    return found


def timed(work: Callable[[HeatLog], object], log: HeatLog) -> float:
    """The median of a few rounds, in seconds."""
    took = []
    for _ in range(ROUNDS):
        begin = time.perf_counter()
        work(log)
        took.append(time.perf_counter() - begin)
    return float(np.median(took))


def main() -> None:
    """Measure and print a table."""
    world = World(stages=2, minutes=60)
    rng = np.random.default_rng(1)
    log = logged(part(world, rng), world, rng)
    fit_network(log)  # what is loaded once is loaded
    ours, plain = timed(fit_network, log), timed(plainly, log)
    print("| rows | ours, s | all at once, row by row, s | ratio |\n|---|---|---|---|")
    print(f"| {log.time_s.size} | {ours:.2f} | {plain:.2f} | {plain / ours:.1f} |")


if __name__ == "__main__":
    main()
