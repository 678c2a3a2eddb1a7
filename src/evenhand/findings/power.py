"""What two setups draw at the wall, and what a frame costs: findings like any other, fewer is better."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from evenhand.findings.compare import compare_study
from evenhand.findings.finding import Caveat, Cell, Finding
from evenhand.metrics.wall import WALL_KEYS
from evenhand.records.studies import Study


@dataclass(frozen=True, slots=True, kw_only=True)
class PowerFindings:
    """Findings where both sides have watts; `unread` are tests of a pair where a side has none, with why."""

    findings: tuple[Finding, ...]
    unread: tuple[Unread, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Unread:
    """A number of power that was not measured in one test of a pair."""

    test: str
    metric: str
    a: str
    b: str
    why: Caveat


def power_findings(cells: Sequence[Cell], *, study: Study) -> PowerFindings:
    """Watts and joules per frame of every pair and test, as ratios of a over b by `compare_study`.

    `cells` of `wall_w` and `joules_per_frame`, lower being better, so that a ratio above 1 means that a draws
    less. They are a family of their own: what is asked of speed does not grow dearer by it. Where a side has
    no reading nothing is found. Raises NotComparable as `rows`.
    """
    own = [cell for cell in cells if cell.metric in WALL_KEYS]
    read = {(c.test, c.metric, c.setup): bool(c.observations) for c in own}
    found = compare_study(own, study=study).findings
    both = tuple(f for f in found if read.get((f.test, f.metric, f.a)) and read.get((f.test, f.metric, f.b)))
    return PowerFindings(
        findings=both,
        unread=tuple(_unread(f, read) for f in found if f not in both),
    )


def _unread(finding: Finding, read: dict[tuple[str, str, str], bool]) -> Unread:
    lacking = tuple(_lacking(finding, read))
    words = "no run that counts has watts at the wall on record"
    why = Caveat(key="not-measured", words=words, setups=lacking, each=True)
    return Unread(test=finding.test, metric=finding.metric, a=finding.a, b=finding.b, why=why)


def _lacking(finding: Finding, read: dict[tuple[str, str, str], bool]) -> Iterator[str]:
    for setup in (finding.a, finding.b):
        if not read.get((finding.test, finding.metric, setup)):
            yield setup
