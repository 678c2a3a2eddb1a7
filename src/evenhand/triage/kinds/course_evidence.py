"""What a person looks at to believe or doubt a finding on the course of a run: arrays for one picture."""

from __future__ import annotations

from dataclasses import dataclass

from evenhand.records.faults import Fault, Place
from evenhand.triage.curves import Floats
from evenhand.triage.features import Features
from evenhand.triage.kinds.course import signs_of, strongest
from evenhand.triage.kinds.stretch import limits_along
from evenhand.triage.takes import Takes
from evenhand.triage.view import CellView


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Beside:
    """The run against one sibling along the scene.

    `at_s`: shape (b,), seconds of the run at which bins of `bin_s` begin; `apart_ln`: shape (b,), log of how
    much longer its frames take there than the sibling's, about the level between the two (`level_ln`).
    `lag_s` is the shift that was taken out: how much later the run comes to a place than the sibling.
    """

    sibling: str
    label: str
    bin_s: float
    at_s: Floats
    apart_ln: Floats
    level_ln: float
    lag_s: float


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class CourseEvidence:
    """One picture: the run against each sibling along the scene, what is usual there, and the marked places.

    `usual_ln` is the usual robust sd of two good takes (None: nothing is known), `band_ln` by how much a run
    must be slower over `band_window_s` before it is held: the lowest limit over all windows. `fault` is what
    is told (None: nothing), `places` where.
    """

    run: str
    length_s: float
    beside: tuple[Beside, ...]
    usual_ln: float | None
    band_ln: float
    band_window_s: float
    fault: Fault | None
    places: tuple[Place, ...]


def course_evidence(view: CellView, run: Features) -> CourseEvidence | None:
    """The arrays behind what is told of the course of one run; None where no sibling can be laid over it.

    Works for a good run too: a picture of nothing found is evidence as well.
    """
    signs = signs_of(run, view)
    if signs.takes is None:
        return None
    band_ln, window_s = _band(signs.takes, view)
    fault = strongest(signs, view)
    return CourseEvidence(
        run=run.id,
        length_s=run.duration_s,
        beside=_beside(signs.takes),
        usual_ln=signs.takes.shape,
        band_ln=band_ln,
        band_window_s=window_s,
        fault=fault,
        places=fault.places if fault is not None else (),
    )


def _beside(takes: Takes) -> tuple[Beside, ...]:
    return tuple(
        Beside(
            sibling=p.other.id,
            label=p.other.run.label,
            bin_s=p.bin_s,
            at_s=p.at_s,
            apart_ln=p.apart - p.level,
            level_ln=p.level,
            lag_s=p.lag_s,
        )
        for p in takes.pairs
    )


def _band(takes: Takes, view: CellView) -> tuple[float, float]:
    """The lowest limit of a slow stretch among windows that fit this run, and that window."""
    limits = view.limits.stretch
    longest_s = limits.most_share * takes.run.duration_s
    limit_ln = limits_along(takes, view).tolist()
    fitting = [(a, w) for a, w in zip(limit_ln, limits.windows_s, strict=True) if w <= longest_s]
    return min(fitting, default=(limit_ln[0], limits.windows_s[0]))
