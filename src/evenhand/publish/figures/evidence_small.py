"""One fault as a picture no larger than a stamp: the view that tells most, without headline and foot."""

from __future__ import annotations

from dataclasses import replace

from evenhand.errors import NotEnoughRuns
from evenhand.publish.figures.evidence import described_in_words, drawn_views, views_height
from evenhand.publish.figures.evidence_views import Evidence
from evenhand.publish.figures.frame import Frame, finish
from evenhand.publish.names import Names
from evenhand.publish.picture import Picture
from evenhand.publish.style import Style, stamp
from evenhand.publish.svg import Box
from evenhand.triage.exhibits.forms import Differences

ROWS = 4  # of what is said side by side: the odd one and its nearest siblings


def evidence_stamp(evidence: Evidence, names: Names, *, style: Style | None = None) -> Picture:
    """One fault in one small view. Raises NotEnoughRuns where there is nothing to draw."""
    style = style or stamp()
    shown = most_telling(evidence)
    names = names.drawn()
    height = views_height(shown, style)
    body = Box(left=style.margin, top=0.0, right=style.width - style.margin, bottom=height)
    begun = Frame(style=style, height=height, body=body, drawn=())
    where = f"{names.setup(evidence.setup)} in {names.test(evidence.test)}"
    return finish(
        begun,
        drawn_views(shown, names, body, style),
        title=f"{where}: {evidence.fault.title}",
        description=" ".join(described_in_words(shown)),
    )


def most_telling(evidence: Evidence) -> Evidence:
    """The same with one view alone: what stands beside or below the trace, unless the trace tells as much."""
    trace, below = evidence.trace, evidence.below
    if trace is None and below is None:
        raise NotEnoughRuns("no view to draw", where=evidence.run, todo="look at the run's own page")
    if trace is not None and (below is None or isinstance(below, Differences)):
        return replace(evidence, trace=replace(trace, density=None), readings=None, below=None)
    return replace(evidence, trace=None, readings=None)
