"""What an audience weighs and nobody could tell, said beside whatever stands without it."""

from __future__ import annotations

from collections.abc import Iterable

from evenhand.findings.caveats import UNMEASURED
from evenhand.findings.finding import Caveat
from evenhand.publish.direction import isolated
from evenhand.publish.names import Names
from evenhand.records.audiences import Audience
from evenhand.verdicts.verdict import Verdict


def but_unmeasured(told: Iterable[tuple[Audience, Verdict]], names: Names) -> tuple[str, ...]:
    """A sentence for each verdict of whose weight a part has no number; it follows what was said of it."""
    return tuple(
        f"But for {isolated(audience.name)} {caveat.told(names.setup, names.test)}."
        for audience, verdict in told
        for caveat in verdict.caveats
        if caveat.key == UNMEASURED
    )


def further_caveats(verdict: Verdict) -> tuple[Caveat, ...]:
    """The reservations of a verdict beside that one."""
    return tuple(caveat for caveat in verdict.caveats if caveat.key != UNMEASURED)
