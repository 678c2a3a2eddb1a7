"""Machines, runs and cells for the tests of causes: fictional parts, a boot a run, turns taken."""

import math

from evenhand.findings.finding import Cell, Observation
from evenhand.findings.machines import Machine
from evenhand.records.builds import Build, Part, Setup
from evenhand.records.runs import Run

KINDS = {"p": "processor", "b": "board", "g": "graphics", "m": "memory"}
PARTS = {
    f"{k}{i}": Part(key=f"{k}{i}", kind=kind, name=f"{k}{i}") for k, kind in KINDS.items() for i in range(4)
}


def machine(key, *parts, state="stock", stamps=None, runs=(), build=None):
    """A setup of a build with these parts."""
    made = Build(key=build or key, name=key, slot=1, parts=parts)
    setup = Setup(key=key, name=key, build=made.key, state=state, stamps=stamps or {})
    return Machine(setup=setup, build=made, parts=PARTS, runs=tuple(runs))


def run(setup, number, *, test="quay", stamps=None, boot="", order=None, ambient=24.0):
    """One run; a boot of its own unless one is named."""
    return Run(
        id=f"{setup}-{test}-{number}", study="s", test=test, setup=setup, label=str(number),
        boot=boot or f"{setup}-{number}", order=number if order is None else order,
        ambient_c=ambient, stamps=stamps or {},
    )  # fmt: skip


def cell(setup, logs, *, test="quay", place=0, better="higher", version="", headline=True):
    """Runs in turns with every other cell: a boot each, `place` tells cells apart within a round."""
    seen = tuple(
        Observation(
            run=f"{setup}{i}",
            value=math.exp(v),
            boot=f"{setup}{i}",
            order=100 * i + (place if i % 2 else 50 - place),
        )
        for i, v in enumerate(logs)
    )
    return Cell(
        test=test,
        setup=setup,
        metric="fps",
        better=better,
        observations=seen,
        version=version,
        headline=headline,
    )


def around(mean, sd=0.001):
    """Four logs around a mean."""
    return [mean - sd, mean + sd, mean + sd / 2, mean - sd / 2]
