"""Runs whose number stands apart: their numbers side by side, and the course where it was seen there."""

from __future__ import annotations

import math

from evenhand.metrics.definitions import DEFINITIONS
from evenhand.records.faults import Fault
from evenhand.triage.exhibits.company import judged_against, of_peers, traces
from evenhand.triage.exhibits.course import laid_over
from evenhand.triage.exhibits.forms import Differences, Exhibit, Numbers
from evenhand.triage.features import Features
from evenhand.triage.kinds.frame_scatter import measure
from evenhand.triage.level_picture import LevelPicture, level_picture
from evenhand.triage.view import CellView
from evenhand.triage.wording import share


def odd_level(run: Features, fault: Fault, view: CellView) -> Exhibit:
    """The number of each run, where this one was expected, and what other setups have; above it the trace."""
    shown = traces(run, judged_against(run, fault, view))
    if fault.numbers.get("along_scene_ln") == fault.numbers.get("gap_ln", math.nan):
        return Exhibit(trace=shown, below=_along(run, fault, view))
    picture = level_picture(view, run.id, among=fault.siblings)
    return Exhibit(trace=shown, below=None if picture is None else _numbers(picture, view))


def _numbers(picture: LevelPicture, view: CellView) -> Numbers:
    values = picture.values.tolist()
    known = math.isfinite(picture.low)
    headlines = [(p[0].id, tuple(r.run.headline for r in p if r.run.headline is not None))
        for p in view.peers if p]  # fmt: skip
    return Numbers(
        what=f"{_headline(view)} of each run",
        unit=view.company.test.unit,
        own=values[picture.marked],
        siblings=tuple(v for i, v in enumerate(values) if i != picture.marked),
        peers=of_peers(headlines),
        expected=(picture.low, picture.high) if known else None,
        expected_words="where 95 % of runs like its siblings lie" if known else "",
    )


def _headline(view: CellView) -> str:
    known = DEFINITIONS.get(view.company.test.metric)
    return f"{known.label[:1].upper()}{known.label[1:]}" if known else "Number"


def _along(run: Features, fault: Fault, view: CellView) -> Differences | None:
    """The distance to each sibling along the scene, with its level; siblings among themselves beside it."""
    laid = laid_over(run, fault, view)
    if laid is None:
        return None
    return Differences(
        times_s=laid.middles_s,
        against=laid.per_cent(laid.pairs),
        among=laid.per_cent(laid.nulls),
    )


def frame_scatter(run: Features, fault: Fault, view: CellView) -> Exhibit:
    """How much each run's frames scatter one by one, and how much would pass; above it the trace."""
    siblings = [s for s in judged_against(run, fault, view) if s.noise > 0]
    limits, expected = view.limits.scatter, None
    if siblings and run.noise > 0:
        found = measure(run, siblings, view)
        z = limits.z_few if len(siblings) + 1 <= limits.few_runs else limits.z_many
        centre, half = run.noise * math.exp(-found.gap), z * found.spread * math.sqrt(1 + 1 / len(siblings))
        expected = (100 * centre * math.exp(-half), 100 * centre * math.exp(half))
    noises = [(p[0].id, tuple(100 * r.noise for r in p if r.noise > 0)) for p in view.peers if p]
    return Exhibit(
        trace=traces(run, siblings),
        below=Numbers(
            what="Scatter of each run from one frame to the next",
            unit="%",
            own=100 * run.noise,
            siblings=tuple(100 * s.noise for s in siblings),
            peers=of_peers(noises),
            expected=expected,
            expected_words="would pass" if expected else "",
            own_words=share(run.noise, 2),
        ),
    )
