"""Reservations of one row: what is said of its runs, their spread, and a difference that is not called."""

from __future__ import annotations

import math

from evenhand.findings.finding import Caveat, Cell
from evenhand.findings.outcomes import ALPHA
from evenhand.findings.rooms import rooms_caveat
from evenhand.findings.rows import Row
from evenhand.findings.stamps import other_conditions
from evenhand.stats.between import Sample


def row_caveats(row: Row) -> list[Caveat]:
    """What stands of the runs on both sides, whatever they say."""
    if row.locked:
        return [Caveat(key="held-rate", words="held at a declared rate: says nothing of speed")]
    found = [c for cell in (row.a, row.b) for c in _cell_caveats(cell)]
    if row.refused:
        return [row.refused, *found]
    if row.joined:
        lone = (cell.setup for cell in (row.beside or ()) if len(cell.observations) == 1)
        alone = [
            Caveat(key="one-run", words=_ONE, setups=(setup,), each=True) for setup in dict.fromkeys(lone)
        ]
        found = [row.joined, *found, *alone]
    found += other_conditions(row.a, row.b, bridged=row.joined is not None)
    apart = rooms_caveat([(1.0, row.a), (-1.0, row.b)])
    found += [] if apart is None else [apart]
    found += doubts_in(row)
    if row.a.observations and row.b.observations and row.sessions is None:
        words = (
            "one run reads more than a million million times another"
            if row.numbers
            else "a run reads 0 or less, or no number"
        )
        found.append(Caveat(key="no-ratio", words=f"{words}: no ratio can be formed"))
    return found


def doubts_in(row: Row) -> list[Caveat]:
    """That a side, or what bridges the two, was not what it was said to be."""
    return list(dict.fromkeys(cell.doubt for cell in row.cells if cell.doubt))


DOUBTED = "baseline-doubted"
UNMEASURED = "not-measured"
_ONE = "one run, so its spread is not known"


def _cell_caveats(cell: Cell) -> list[Caveat]:
    runs, found = len(cell.observations), []
    if runs == 0:
        why = [_waits(cell), f"{cell.set_aside} set aside" if cell.set_aside else ""]
        words = "; ".join(["no run counts", *filter(None, [", ".join(filter(None, why))])])
        return [_of_side(cell, "no-runs", words, waiting=cell.waiting)]
    if runs == 1:
        found.append(_of_side(cell, "one-run", _ONE))
    found += [_cut(cell, reason) for reason in dict.fromkeys(cell.cut_otherwise)]
    if cell.waiting:
        found.append(_of_side(cell, "waiting", _waits(cell, " more"), waiting=cell.waiting))
    return found


def _cut(cell: Cell, reason: str) -> Caveat:
    """That runs are measured in a window of their own, and why."""
    n = cell.cut_otherwise.count(reason)
    runs = "one run is cut otherwise than its" if n == 1 else f"{n} runs are cut otherwise than their"
    said = reason.strip().rstrip(".").replace("{", "{{").replace("}", "}}")
    return _of_side(cell, "cut-otherwise", f"{runs} siblings, because {said}")


def _of_side(cell: Cell, key: str, words: str, *, waiting: int = 0) -> Caveat:
    return Caveat(key=key, words=words, waiting=waiting, setups=(cell.setup,), each=True)


def _waits(cell: Cell, more: str = "") -> str:
    """How many runs wait for a decision, and how many for triage: an import that was stopped left those."""
    decision, unjudged = cell.waiting - cell.unjudged, cell.unjudged
    told = []
    if decision:
        told.append(
            f"one{more} waits for a decision" if decision == 1 else f"{decision}{more} wait for a decision"
        )
    if unjudged:
        more = "" if decision else more
        told.append(f"{'one' if unjudged == 1 else unjudged}{more} not judged yet: import the folder again")
    return ", ".join(told)


def unequal_spread(s: Sample, row: Row) -> Caveat:
    """That one side scatters so much more than the other that they were not pooled."""
    if row.beside:
        return Caveat(
            key="unequal-spread",
            words="the sides and what bridges them scatter unlike: judged without pooling",
        )
    noisy, calm = (row.a, row.b) if s.var_a > s.var_b else (row.b, row.a)
    sds = sorted((100 * math.sqrt(s.var_a), 100 * math.sqrt(s.var_b)))
    words = f" scatters by {sds[1]:.2g} %, {{setups[1]}} by {sds[0]:.2g} %: judged without pooling"
    return Caveat(key="unequal-spread", words="{setups[0]}" + words, setups=(noisy.setup, calm.setup))


def not_reached(p: float, p_holm: float, family: int) -> str:
    """Why a difference clear of none is not called: its p, alone or over all comparisons of the study."""
    if p >= ALPHA:
        return f"clear of no difference at 95 %, but its p of {p:.2g} does not reach {ALPHA:g}"
    return (
        f"clear of no difference by itself, but not once all {family} comparisons of the study are counted: "
        f"p is {p_holm:.2g} then, against {ALPHA:g}"
    )
