"""A take that begins earlier or later in the scene than every sibling."""

from __future__ import annotations

from dataclasses import dataclass

from evenhand.records.faults import Fault, Place, Severity
from evenhand.triage.pairs import agreed
from evenhand.triage.takes import LAG, Takes
from evenhand.triage.view import CellView
from evenhand.triage.wording import at_least, span

KIND = "late-start"


@dataclass(frozen=True, slots=True, kw_only=True)
class LateStart:
    """How much later in the scene a take begins than its siblings, s (earlier: negative), and the limit.

    `lags_s` are the shifts against each sibling, `agreement` the least correlation once shifted.
    """

    by_s: float
    limit_s: float
    lags_s: tuple[float, ...]
    agreement: float

    @property
    def score(self) -> float:
        """How far past its limit."""
        return abs(self.by_s) / self.limit_s


def find_late_start(takes: Takes, view: CellView) -> LateStart:
    """The shift that every sibling asks for and that brings the run over each of them.

    Siblings that do not resemble each other have no course to be late in.
    """
    limits, scene = view.limits.late_start, view.limits.scene
    resemble = min((p.agreement for p in takes.nulls), default=limits.agreement)
    agreement = max(limits.agreement * takes.strictness, resemble - limits.agreement_lost)
    alike = max(scene.least, scene.shapes * (takes.shape or 0.0))
    plain = resemble >= limits.agreement and all(
        p.gain >= limits.least_gain and p.agreement >= agreement and p.shape <= alike for p in takes.pairs
    )
    lags = tuple(-p.lag_s for p in takes.pairs)
    by_s = agreed(lags)
    one = max(lags) - min(lags) <= max(limits.apart_s, limits.apart_share * abs(by_s))
    usual_s = float(takes.worst[LAG])
    return LateStart(
        by_s=by_s if plain and one else 0.0,
        limit_s=takes.strictness * max(limits.least_s, limits.of_worst * usual_s),
        lags_s=lags,
        agreement=min(p.agreement for p in takes.pairs),
    )


def late_start_fault(found: LateStart, takes: Takes) -> Fault:
    """What was found, in words."""
    word = "later" if found.by_s > 0 else "earlier"
    shifts = span(min(map(abs, found.lags_s)), max(map(abs, found.lags_s)), 1, "s")
    return Fault(
        kind=KIND,
        title=f"Begins {word} in the scene",
        severity=Severity.NOTE if takes.alone else Severity.IN_DOUBT,
        evidence=(
            f"This take begins {shifts} {word} in the scene than {takes.whom}: shifted by that it lies over "
            f"{'it' if takes.alone else 'them'} ({at_least('r', found.agreement)}), so it measures another "
            f"piece of the scene.{takes.pair_note}"
        ),
        todo=takes.third if takes.alone else "Record it again, started at the same moment as the others.",
        numbers={"later_s": found.by_s, "limit_s": found.limit_s, "agreement": found.agreement},
        places=_unshared(found, takes),
        siblings=tuple(s.id for s in takes.siblings),
    )


def _unshared(found: LateStart, takes: Takes) -> tuple[Place, ...]:
    """The end that no sibling reaches where the take begins late; its start where it begins early."""
    length_s = takes.run.duration_s
    if found.by_s < 0:
        return (Place(from_s=0.0, to_s=min(-found.by_s, length_s)),)
    return (Place(from_s=max(0.0, length_s - found.by_s), to_s=length_s),)
