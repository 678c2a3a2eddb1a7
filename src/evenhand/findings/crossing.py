"""Two cells that were measured apart, made ready to meet over a machine that was run under both."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from evenhand.findings.finding import Caveat, Cell, Joint, Observation, Under

BRIDGED, OWN_BRIDGE = "bridged", "bridged-by-itself"


@dataclass(frozen=True, slots=True, kw_only=True)
class Crossed:
    """Cells a and b, each with its runs under one set of conditions, and what joins them.

    `beside_a`, `beside_b` are the runs of the machine that bridges, under the conditions of each; None where
    one of the two was itself run under those of the other, whose runs then stand in its cell.
    """

    a: Cell
    b: Cell
    caveat: Caveat
    beside_a: Cell | None = None
    beside_b: Cell | None = None


def apart(a: Cell, b: Cell) -> bool:
    """Whether two machines were never run under the same conditions; one machine is its own bridge."""
    if not (a.observations and b.observations and a.under and b.under):
        return False
    return a.under.machine != b.under.machine and not {*a.under.names} & {*b.under.names}


def cross(a: Cell, b: Cell) -> Crossed | None:
    """What joins two cells that are apart; None where nothing does.

    The latest conditions of each are taken, as far as a machine leads from one to the other: b itself, or a,
    then the first of those joined.
    """
    if not (a.under and b.under and apart(a, b)):
        return None
    found = next(_joints(a.under, b.under), None)
    if found is None:
        return None
    here, there = _under(a, found.here), _under(b, found.there)
    if found.machine == b.under.machine:
        return Crossed(a=here, b=_runs(b, found.beside), caveat=_by_itself(b, a, found.here))
    if found.machine == a.under.machine:
        return Crossed(a=_runs(a, found.across), b=there, caveat=_by_itself(a, b, found.there))
    beside_a, beside_b = (
        replace(_runs(_named(b, found.machine), seen), unsteady=unsteady)
        for seen, unsteady in zip((found.beside, found.across), found.unsteady, strict=True)
    )
    caveat = _by_another(a, b, found)
    return Crossed(a=here, b=there, caveat=caveat, beside_a=beside_a, beside_b=beside_b)


def _joints(a: Under, b: Under) -> Iterator[Joint]:
    """Every machine that leads from conditions of a to conditions of b, the one to be taken first."""
    for here in reversed(a.names):
        for there in reversed(b.names):
            found = [j for j in a.joined if (j.here, j.there) == (here, there)]
            own = [j for machine in (b.machine, a.machine) for j in found if j.machine == machine]
            yield from (*own, *found)


def _under(cell: Cell, name: str) -> Cell:
    """The cell with its runs under these conditions; a run of which nothing is said stays."""
    of = dict(cell.under.of) if cell.under else {}
    return _runs(cell, tuple(o for o in cell.observations if of.get(o.run, name) == name))


def _runs(cell: Cell, observations: tuple[Observation, ...]) -> Cell:
    return replace(cell, observations=observations)


def _named(cell: Cell, machine: str) -> Cell:
    """A cell of another machine, measured as this one, of which nothing else is known."""
    return replace(
        cell, setup=machine, waiting=0, set_aside=0, unjudged=0, cut_otherwise=(), says=(), under=None
    )


def _by_another(a: Cell, b: Cell, joint: Joint) -> Caveat:
    words = (
        f"measured under {plain(joint.here)} on {{setups[0]}}, under {plain(joint.there)} on {{setups[1]}}, "
        "bridged by {setups[2]}, a machine that was run under both: what the change did to it is taken out, "
        "its error is in the interval, and that it did the same to {setups[1]} is taken for granted"
    )
    return Caveat(key=BRIDGED, words=words, setups=(a.setup, b.setup, joint.machine))


def _by_itself(moved: Cell, other: Cell, name: str) -> Caveat:
    words = (
        f"measured apart, but {{setups[0]}} was run under {plain(name)} too, as {{setups[1]}} was: "
        "these runs are held against each other"
    )
    return Caveat(key=OWN_BRIDGE, words=words, setups=(moved.setup, other.setup))


def plain(words: str) -> str:
    """Anybody's words, to stand in a sentence with slots."""
    return words.replace("{", "{{").replace("}", "}}")
