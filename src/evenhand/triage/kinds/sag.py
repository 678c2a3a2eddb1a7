"""A run that grows slower towards its end, against every sibling."""

from __future__ import annotations

import math
from dataclasses import dataclass

from evenhand.records.faults import Fault, Place, Severity
from evenhand.triage.lessons import change_along
from evenhand.triage.pairs import agreed
from evenhand.triage.takes import SAG, Takes
from evenhand.triage.view import CellView
from evenhand.triage.what_parts_did import PartsDid
from evenhand.triage.wording import share

KIND = "slow-sag"
_BRIEF = " A quarter of so short a run is too little to hold it for this."
_MAY_BE = "It may be heat, or a scene that was not quite the same."
_LOG = (
    "Log clocks, temperature and power with the next run: a clock that falls with the frames "
    "means heat; a clock that holds means another scene, or another program."
)
_MEDIAN = 1.2533  # the standard error of a median in those of a mean, normal samples


@dataclass(frozen=True, slots=True, kw_only=True)
class Sag:
    """How much slower a run ends than it begins, agreed by its siblings, in logs of frame time.

    `usual` is how far two good takes drift apart, as `pairs` pairs of other takes show it: a belief where
    there are none. `brief` where its quarters hold too few bins to hold it for this.
    """

    slower: float
    limit: float
    usual: float
    pairs: float
    brief: bool

    @property
    def score(self) -> float:
        """How far past its limit."""
        return self.slower / self.limit


def find_sag(takes: Takes, view: CellView) -> Sag:
    """What every sibling says, against how far two good takes drift apart."""
    limits = view.limits.sag
    square, weight = takes.with_past(SAG, takes.learned.sag)
    usual = math.sqrt(
        (limits.prior_pairs * limits.prior**2 + weight * square) / (limits.prior_pairs + weight)
    )
    spreads = limits.spreads_few if takes.few else limits.spreads_many
    shape, quarter = takes.shape or 0.0, max(1, min(p.apart.size for p in takes.pairs) // 4)
    error = _MEDIAN * shape * math.sqrt(2 / quarter)
    return Sag(
        slower=agreed([change_along(p) for p in takes.pairs]),
        limit=takes.strictness
        * max(limits.least, spreads * usual, limits.shapes * shape, limits.errors * error),
        usual=usual,
        pairs=weight,
        brief=quarter < limits.least_bins,
    )


def sag_fault(found: Sag, takes: Takes, parts: PartsDid | None = None) -> Fault:
    """What was found, in words; `parts` is what the run's own sensors say to it."""
    noise = takes.noise_note(found.score) or (_BRIEF if found.brief else "")
    run = takes.run
    return Fault(
        kind=KIND,
        title="Slower towards its end",
        severity=Severity.NOTE if takes.alone or noise else Severity.IN_DOUBT,
        evidence=(
            f"From its first to its last quarter this run loses {share(math.expm1(found.slower))} against "
            f"{takes.whom}; {_usually(found)}. "
            f"{_MAY_BE if parts is None else parts.evidence}{noise}{takes.pair_note}"
        ),
        todo=takes.third if takes.alone else _LOG if parts is None else parts.todo,
        numbers={
            "slower_ln": found.slower,
            "limit_ln": found.limit,
            "usual_ln": found.usual,
            "pairs": found.pairs,
        }
        | ({} if parts is None else parts.numbers),
        places=(Place(from_s=0.75 * run.duration_s, to_s=run.duration_s),),
        siblings=tuple(s.id for s in takes.siblings),
        behaviour=parts is None or parts.heat,
    )


def _usually(found: Sag) -> str:
    """How far takes drift apart, and where only a belief says so, that it is one."""
    by = share(found.usual)
    if found.pairs:
        return f"takes of this test usually drift apart by {by}"
    return f"no other takes of this test are known; by default takes are believed to drift apart by {by}"
