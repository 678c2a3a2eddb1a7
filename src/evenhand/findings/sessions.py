"""What boots and order on record allow: which numbers are the replicates, and what they cannot show."""

from __future__ import annotations

import math
from bisect import bisect_left, bisect_right
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum
from itertools import pairwise
from typing import TypeAlias

from evenhand.findings.crossing import plain
from evenhand.findings.drifting import drifted
from evenhand.findings.finding import Caveat, Cell, Observation

FEWEST_BLOCKS = 4  # up to three blocks a paired analysis has too few degrees of freedom to pay
MOSTLY_FIRST = 0.9  # one setup first in more than this share of run pairs: the order was not interleaved


Boots: TypeAlias = dict[str, tuple[Observation, ...]]


class Replicates(StrEnum):
    """What is counted as one repeat."""

    RUNS = "runs"
    BOOTS = "boots"
    BLOCKS = "paired blocks"


@dataclass(frozen=True, slots=True, kw_only=True)
class Beside:
    """The machine that bridges two cells measured apart, as replicates beside a and beside b."""

    machine: str
    logs_a: tuple[float, ...]
    logs_b: tuple[float, ...]
    boots_a: tuple[str, ...] = ()
    boots_b: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Sessions:
    """Two cells of one test as replicates in logs, larger is better, with what they leave unseen.

    `logs_a`, `logs_b`: one value a replicate, in order; `boots_a`, `boots_b` name them where boots are the
    replicates. `allowance` is the log error that the record cannot exclude, over both sides; `drift` the part
    of it that a drift of a machine run before and after a change may make. `beside` is what bridges the two,
    whose difference is taken out of theirs.
    """

    kind: Replicates
    logs_a: tuple[float, ...]
    logs_b: tuple[float, ...]
    boots_a: tuple[str, ...] = ()
    boots_b: tuple[str, ...] = ()
    runs_per_replicate: int = 1
    allowance: float = 0.0
    drift: float = 0.0
    caveats: tuple[Caveat, ...] = ()
    beside: Beside | None = None

    @property
    def by_boot(self) -> bool:
        """Whether the spread of the replicates holds the error of a boot."""
        return self.kind is not Replicates.RUNS


def read_sessions(a: Cell, b: Cell, *, boot_allowance: float) -> Sessions:
    """Replicates and allowance of two cells whose values are all above 0.

    Boots repeated on both sides: the mean log of each boot is the replicate, so that an error shared by the
    runs of a boot is part of the spread that is measured (with several runs a boot, treating runs as
    replicates covers 76–93 %). Four boots a side or more that pair up in order are blocks. Otherwise
    runs are the replicates. A side whose boots are not repeated, or any side where the order is unknown or
    was one setup after the other, adds ln(1 + boot_allowance) to the allowance. Where runs share a place in
    the order, it counts as unknown unless turns were taken whichever of them came first. One machine before
    and after a change, whose chart drifts, adds what that may make.
    """
    exposed, caveats = _exposed_sides(a, b)
    allowance = exposed * math.log1p(boot_allowance)
    if exposed:
        caveats.append(_allowance_words(exposed, boot_allowance))
    caveats += _shared_places(a, b)
    drift, unsteady = drifted({"a": a, "b": b}, {"a": 1.0, "b": -1.0})
    boots_a, boots_b = boots_in(a), boots_in(b)
    logs_a, logs_b = replicate_logs(a, boots_a), replicate_logs(b, boots_b)
    runs = len(a.observations) + len(b.observations)
    by_boot = min(len(boots_a), len(boots_b)) >= 2
    return Sessions(
        kind=_kind(boots_a, boots_b), logs_a=logs_a, logs_b=logs_b,
        boots_a=tuple(boots_a) if by_boot else (), boots_b=tuple(boots_b) if by_boot else (),
        runs_per_replicate=math.ceil(runs / (len(logs_a) + len(logs_b))),
        allowance=allowance + drift, drift=drift, caveats=(*caveats, *unsteady),
    )  # fmt: skip


def are_blocks(a: Sequence[Sequence[Observation]], b: Sequence[Sequence[Observation]]) -> bool:
    """Whether the k-th boots of both sides stand before the next ones of either, four times or more."""
    if len(a) != len(b) or len(a) < FEWEST_BLOCKS:
        return False
    spans = [[o.order for o in (*x, *y)] for x, y in zip(a, b, strict=True)]
    known = [[order for order in span if order is not None] for span in spans]
    if any(len(k) < len(s) for k, s in zip(known, spans, strict=True)):
        return False
    return all(max(now) < min(then) for now, then in pairwise(known))


def shares_first(a: Cell, b: Cell) -> tuple[float, float] | None:
    """The share of pairs (one run of each) in which a's run came first; None where an order is unknown.

    Twice: with every pair that shares a place taken as a's second, and as a's first. 0.5 is even; 1 is all
    of a, then all of b.
    """
    orders_a, orders_b = _orders(a), _orders(b)
    if len(orders_a) < len(a.observations) or len(orders_b) < len(b.observations):
        return None
    pairs = len(orders_a) * len(orders_b)
    if not pairs:
        return None
    first = sorted(orders_a)
    sure, at_most = (
        sum(bisect_left(first, y) for y in orders_b),
        sum(bisect_right(first, y) for y in orders_b),
    )
    return sure / pairs, at_most / pairs


def _orders(*cells: Cell) -> list[int]:
    return [o.order for cell in cells for o in cell.observations if o.order is not None]


def _exposed_sides(a: Cell, b: Cell) -> tuple[int, list[Caveat]]:
    caveats = [c for c in (boot_caveat(a), boot_caveat(b)) if c]
    order = order_caveat(a, b)
    return (2 if order else len(caveats)), ([*caveats, order] if order else caveats)


def has(runs: int) -> str:
    """The verb after so many of several runs.

    >>> has(1), has(2)
    ('has', 'have')
    """
    return "has" if runs == 1 else "have"


def boot_caveat(cell: Cell) -> Caveat | None:
    """That a side's boots are unknown or not repeated, so that runs may share an error; None where not."""
    known = {o.boot for o in cell.observations if o.boot is not None}
    unknown = sum(o.boot is None for o in cell.observations)
    runs = len(cell.observations)
    if unknown:
        words = f"{unknown} of {runs} runs {has(unknown)} no boot on record"
        return Caveat(key="boots-unknown", words=words, setups=(cell.setup,), each=True)
    if len(known) == 1:
        words = f"all {runs} runs come from one boot, and may share its error"
        words = "one run from one boot" if runs == 1 else words
        return Caveat(key="one-boot", words=words, setups=(cell.setup,), each=True)
    return None


def order_caveat(a: Cell, b: Cell) -> Caveat | None:
    """That two sides did not take turns, or that the order does not tell; None where they did."""
    shares = shares_first(a, b)
    if shares is None:
        missing = sum(o.order is None for o in (*a.observations, *b.observations))
        total = len(a.observations) + len(b.observations)
        return Caveat(
            key="order-unknown", words=f"{missing} of {total} runs {has(missing)} no order on record"
        )
    in_turns = [1.0 - MOSTLY_FIRST <= share <= MOSTLY_FIRST for share in shares]
    if all(in_turns):
        return None
    share = sum(shares) / 2
    if any(in_turns) or shares[0] < 0.5 < shares[1]:
        words = "runs share a place in the order, so that it does not tell whether turns were taken"
        return Caveat(key="order-unknown", words=words)
    first, then = (a, b) if share > 0.5 else (b, a)
    how = "all" if shares in ((0.0, 0.0), (1.0, 1.0)) else "nearly all"
    runs, later = len(first.observations), len(then.observations)
    these = "the one run" if runs == 1 else f"{how} {runs} runs"
    those = "the one" if later == 1 else f"the {later}"
    before, after = _conditions_apart(first, then)
    words = f"not interleaved: {these} of {{setups[0]}}{before} came before {those} of {{setups[1]}}{after}"
    return Caveat(key="not-interleaved", words=words, setups=(first.setup, then.setup))


def _conditions_apart(first: Cell, then: Cell) -> tuple[str, str]:
    """The conditions of one machine on both sides of a change, which often has one name; else none."""
    one, other = first.under, then.under
    if not (one and other) or one.machine != other.machine or one.names == other.names:
        return "", ""
    before, after = (f" under {plain(' and '.join(under.names))}" for under in (one, other))
    return before, after


def _shared_places(a: Cell, b: Cell) -> list[Caveat]:
    """A machine runs one thing at a time: a place in the order that two runs have is a slip of the pen."""
    taken = Counter(_orders(a, b))
    runs = sum(n for n in taken.values() if n > 1)
    if not runs:
        return []
    places = sorted(order for order, n in taken.items() if n > 1)
    which = f"place {places[0]} in the order" if len(places) == 1 else f"{len(places)} places in the order"
    words = f"{runs} of {taken.total()} runs share {which}"
    return [Caveat(key="order-shared", words=words)]


def _allowance_words(sides: int, boot_allowance: float) -> Caveat:
    each, total = 100 * boot_allowance, 100 * ((1 + boot_allowance) ** sides - 1)
    number = (
        f"{each:.3g} % for each of 2 sides, {total:.3g} % in all"
        if sides == 2
        else f"{each:.3g} % for one side"
    )
    words = f"allowance for an error that the runs of one boot or session share: {number}"
    return Caveat(key="allowance", words=words)


def boots_in(cell: Cell) -> Boots:
    """Runs by boot, boots in order of their first run; empty where a boot is not on record."""
    boots: dict[str, list[Observation]] = {}
    for o in _by_order(cell.observations):
        if o.boot is None:
            return {}
        boots.setdefault(o.boot, []).append(o)
    return {boot: tuple(runs) for boot, runs in boots.items()}


def _by_order(observations: Sequence[Observation]) -> list[Observation]:
    if any(o.order is None for o in observations):
        return list(observations)
    return sorted(observations, key=lambda o: o.order or 0)


def _logs(better: str, observations: Sequence[Observation]) -> tuple[float, ...]:
    sign = -1.0 if better == "lower" else 1.0
    return tuple(sign * math.log(o.value) for o in observations)


def _kind(boots_a: Boots, boots_b: Boots) -> Replicates:
    if min(len(boots_a), len(boots_b)) < 2:
        return Replicates.RUNS
    paired = are_blocks(list(boots_a.values()), list(boots_b.values()))
    return Replicates.BLOCKS if paired else Replicates.BOOTS


def replicate_logs(cell: Cell, boots: Boots) -> tuple[float, ...]:
    """Boot means where boots repeat, else the runs."""
    if len(boots) < 2:
        return _logs(cell.better, _by_order(cell.observations))
    means = (_logs(cell.better, runs) for runs in boots.values())
    return tuple(math.fsum(logs) / len(logs) for logs in means)
