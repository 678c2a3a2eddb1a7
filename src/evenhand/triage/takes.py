"""One run beside its siblings, and how far two good takes of its test differ of themselves."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from evenhand.triage.curves import Floats
from evenhand.triage.features import Features
from evenhand.triage.learned import Known, Learned
from evenhand.triage.lessons import change_along
from evenhand.triage.limits.course_kinds import TakesLimits
from evenhand.triage.pairs import Pair, pair, pairs_of, pairs_within
from evenhand.triage.stretches import swings
from evenhand.triage.view import CellView
from evenhand.triage.wording import share

SHAPE, SAG, LAG = 0, 1, 2
"""Where a figure stands among the figures of a pair; swings follow, rms and then worst of each window."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Takes:
    """A run laid over each of its siblings (`pairs`), beside pairs that it has no part in.

    `nulls` are its siblings over each other, an odd one left out: what good takes do. `squares`: shape (f,),
    mean square of each figure of such pairs and of pairs on other setups, `weight` how many pairs that is
    worth; `worst`: shape (f,), the largest of each figure among them.
    """

    run: Features
    pairs: tuple[Pair, ...]
    nulls: tuple[Pair, ...]
    squares: Floats
    weight: float
    worst: Floats
    learned: Learned
    limits: TakesLimits

    @property
    def siblings(self) -> tuple[Features, ...]:
        """Whom the run is compared with."""
        return tuple(p.other for p in self.pairs)

    @property
    def shape(self) -> float | None:
        """The usual robust sd of two takes along the scene, ln; None where nothing is known."""
        past = self.learned.shape
        square, weight = self.with_past(SHAPE, Known(value=past.value**2, weight=past.weight))
        return math.sqrt(square) if weight else None

    @property
    def few(self) -> bool:
        """Whether so few siblings agree by chance more easily."""
        return len(self.pairs) <= self.limits.few_siblings

    @property
    def alone(self) -> bool:
        """Whether there is one sibling only: of two runs nobody can say which is odd."""
        return len(self.pairs) == 1

    @property
    def strictness(self) -> float:
        """What every limit is raised by: with one sibling there is nobody to agree with it."""
        return self.limits.pair_factor if self.alone else 1.0

    def with_past(self, figure: int, known: Known) -> tuple[float, float]:
        """Mean square of one figure in pairs of good takes and in the past; how many pairs that is worth."""
        lent = min(known.weight, self.limits.most_learned)
        weight = self.weight + lent
        square = self.weight * float(self.squares[figure]) + lent * known.value
        return (square / weight if weight else 0.0), weight

    @property
    def swings(self) -> tuple[Floats, Floats]:
        """Mean square and worst of the swings of good pairs for each window; shapes (w,)."""
        half = (self.squares.size - LAG - 1) // 2
        return self.squares[LAG + 1 :][:half], self.worst[LAG + 1 :][half:]

    @property
    def whom(self) -> str:
        """The siblings in words."""
        return self.pairs[0].other.run.label if self.alone else f"each of its {len(self.pairs)} siblings"

    @property
    def pair_note(self) -> str:
        """What has to be said where there is one sibling only."""
        return " Of two runs nobody can say which is the odd one." if self.alone else ""

    @property
    def third(self) -> str:
        """What to do where there is one sibling only."""
        one, other = self.run.run.label, self.pairs[0].other.run.label
        return f"Record a third run to tell whether {one} or {other} is odd."

    def noise_note(self, score: float) -> str:
        """Why a finding is only a note: in a test whose takes differ widely it must be sure. Else nothing."""
        shape = self.shape
        if shape is None or shape < self.limits.gate or score >= self.limits.surely:
            return ""
        return (
            f" Takes of this test differ by {share(shape)} along the scene of themselves: too widely to "
            "hold a run for this."
        )


def takes_of(run: Features, view: CellView) -> Takes | None:
    """The run beside its siblings; None where it has none to be laid over."""
    pairs = tuple(pairs_of(run, view))
    if not pairs:
        return None
    limits = view.limits.takes
    nulls = list(pairs_within(without_odd(view.siblings(run.id), view), view))
    groups: list[tuple[float, Floats, Floats]] = []
    if nulls:
        figures = np.array([figures_of(p, view) for p in nulls])
        groups.append((float(len(nulls)), (figures**2).mean(axis=0), figures.max(axis=0)))
    groups += [told for peer in view.peers if (told := _of_peer(peer, view)) is not None]
    weight = sum(group[0] for group in groups)
    none = np.zeros(figures_size(view))
    return Takes(
        run=run,
        pairs=pairs,
        nulls=tuple(nulls),
        squares=sum((w * squares for w, squares, _ in groups), none) / (weight or 1.0),
        weight=weight,
        worst=np.max([none, *(worst for _, _, worst in groups)], axis=0),
        learned=view.company.learned,
        limits=limits,
    )


def figures_size(view: CellView) -> int:
    """How many figures a pair has."""
    return LAG + 1 + 2 * len(view.limits.stretch.windows_s)


def figures_of(laid: Pair, view: CellView) -> Floats:
    """Sizes of shape, sag and lag of a pair, then its swings; worked out once a pair.

    The lag counts only where both takes are the same scene once shifted.
    """

    def figures() -> Floats:
        lag_s = abs(laid.lag_s) if laid.agreement >= view.limits.late_start.agreement else 0.0
        rms, worst = swings(laid.apart - laid.level, laid.bin_s, view.limits.stretch)
        return np.concatenate(([laid.shape, abs(change_along(laid)), lag_s], rms, worst))

    first, other = (laid.run, laid.other) if laid.run.id < laid.other.id else (laid.other, laid.run)
    return view.prepared.derived(first, f"figures against {id(other)}", 0, figures)


def _of_peer(peer: Sequence[Features], view: CellView) -> tuple[float, Floats, Floats] | None:
    """Weight, usual squares and usual largest figures of another setup, each run over the next.

    Medians, since nobody has looked for odd runs there, and of few without the one that is plainly odd: it
    spoils half of their pairs. Worked out once for these very runs: the next time
    as many of them may be others.
    """
    if len(peer) < 2:
        return None

    def told() -> tuple[float, Floats, Floats] | None:
        kept = without_odd(peer, view) if len(peer) <= view.limits.takes.few_peers else peer
        ring = zip(kept, [*kept[1:], kept[0]] if len(kept) > 2 else kept[1:], strict=False)
        pairs = [p for one, next_one in ring if (p := pair(one, next_one, view)) is not None]
        if not pairs:
            return None
        figures = np.array([figures_of(p, view) for p in pairs])
        usual = np.median(figures, axis=0)
        return view.limits.takes.peer_weight * len(pairs), np.median(figures**2, axis=0), usual

    everyone = ", ".join(str(id(run)) for run in peer)
    return view.prepared.derived(peer[0], f"figures of the takes {everyone}", 0, told)


def without_odd(runs: Sequence[Features], view: CellView) -> Sequence[Features]:
    """Three takes or more without the one that lies far from all others while these lie close.

    What good takes do must not be learned from a run that has a fault of its own, whether or not it is held
    yet. Far and close are told by shape, sag, lag and swing, whichever tells them apart.
    """
    if len(runs) < 3:
        return runs
    apart = _apart(runs, view)
    least = _least_odd(view)
    if apart is None or not (nearest := apart.min(axis=1) > least).any():
        return runs
    for odd in np.flatnonzero(nearest.any(axis=1)):
        others = np.delete(np.delete(apart, odd, axis=0), odd, axis=1)
        among = np.where(np.isfinite(others), others, 0.0).max(axis=(0, 1))
        if (nearest[odd] & (apart[odd].min(axis=0) > view.limits.takes.odd_run * among)).any():
            return [run for i, run in enumerate(runs) if i != odd]
    return runs


def _apart(runs: Sequence[Features], view: CellView) -> Floats | None:
    """The figures of each of these over each other, inf on the diagonal; shape (n, n, f). None if unknown."""
    apart = np.full((len(runs), len(runs), figures_size(view)), np.inf)
    for i, run in enumerate(runs):
        for j in range(i):
            found = pair(run, runs[j], view)
            if found is None:
                return None
            apart[i, j] = apart[j, i] = figures_of(found, view)
    return apart


def _least_odd(view: CellView) -> Floats:
    """How far off a run must lie at least to be odd, for each figure; shape (f,)."""
    least = np.full(figures_size(view), view.limits.stretch.least)
    least[: LAG + 1] = view.limits.scene.least, view.limits.sag.least, view.limits.late_start.least_s
    return least
