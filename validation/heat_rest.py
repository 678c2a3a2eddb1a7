"""Simulated parts whose watts tell all: how far rest after load seems to lie off, by chance alone.

`python -m validation.heat_rest [--parts N]` prints a markdown table, a row for each sort of parts and logs
that `validation.heat` has. Told are the means by which readings at rest after load lie off the network of all
other rows; beyond `tuning.heat_rest.OFF_C` it would be said that a network holds under load alone.
"""

from __future__ import annotations

import argparse

import numpy as np

from evenhand.tuning.heat_rest import OFF_C, RestChecked, rest_checked
from evenhand.tuning.network_fit import fit_network
from validation.heat import WORLDS, World, logged, part

COLUMNS = (
    "stages", "log, min", "room", "parts", "told of", "off on average, °C", "the most, °C",
    f"beyond {OFF_C} °C",
)  # fmt: skip


def checked(world: World, rng: np.random.Generator) -> RestChecked | None:
    """One part from its log to its rest."""
    one = part(world, rng)
    return rest_checked(fit_network(logged(one, world, rng)))


def row(world: World, found: list[RestChecked | None]) -> str:
    """A line of the table."""
    off = [abs(each.mean_c) for each in found if each is not None]
    beyond = sum(each.differs for each in found if each is not None)
    told = (
        world.stages, world.minutes, "known" if world.room else "unknown", len(found), len(off),
        f"{np.mean(off):.2f}" if off else "–", f"{max(off, default=0.0):.2f}", beyond,
    )  # fmt: skip
    return f"| {' | '.join(map(str, told))} |"


def main() -> None:
    """Simulate and print."""
    asked = argparse.ArgumentParser(description=__doc__)
    asked.add_argument("--parts", type=int, default=30)
    asked.add_argument("--seed", type=int, default=20261129)
    given = asked.parse_args()
    print("| " + " | ".join(COLUMNS) + " |\n" + "|---" * len(COLUMNS) + "|")
    for k, world in enumerate(WORLDS):
        rng = np.random.default_rng([given.seed, k])
        print(row(world, [checked(world, rng) for _ in range(given.parts)]), flush=True)


if __name__ == "__main__":
    main()
