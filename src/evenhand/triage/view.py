"""All runs of one cell as the detectors see them, with what has been found so far."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, replace

from evenhand.records.faults import Fault, Severity
from evenhand.triage.candidate import Candidate, Company
from evenhand.triage.features import Features
from evenhand.triage.prepared import Prepared
from evenhand.triage.thresholds import Thresholds

HOLDS = (Severity.BLOCKS, Severity.IN_DOUBT)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class CellView:
    """One cell under triage: its runs in the order given, its peers, and the faults found so far."""

    runs: tuple[Features, ...]
    peers: tuple[tuple[Features, ...], ...]
    company: Company
    limits: Thresholds
    prepared: Prepared
    found: Mapping[str, tuple[Fault, ...]]

    def holding(self, run: str) -> frozenset[str]:
        """The kinds found so far that keep this run out of a finding."""
        return frozenset(f.kind for f in self.found[run] if f.severity in HOLDS)

    def has(self, run: str, *kinds: str) -> bool:
        """Whether the run has a fault of one of these kinds."""
        return any(f.kind in kinds for f in self.found[run])

    def blocked(self, run: str) -> bool:
        """Whether a fault found so far keeps this run out for good."""
        return any(f.severity is Severity.BLOCKS for f in self.found[run])

    def siblings(self, run: str) -> tuple[Features, ...]:
        """The other runs of the cell that nothing holds so far, or nothing but what holds this run too.

        Five runs in a warm room are all in doubt, and still each other's siblings.
        """
        own = self.holding(run)
        others = (f for f in self.runs if f.id != run and not self.blocked(f.id))
        return tuple(f for f in others if self.holding(f.id) <= own)

    def with_found(self, more: Iterable[tuple[str, Fault]]) -> CellView:
        """The same cell with further faults on record."""
        found = dict(self.found)
        for run, fault in more:
            found[run] = (*found[run], fault)
        return replace(self, found=found)


Detector = Callable[[CellView], Iterable[tuple[str, Fault]]]


def look(
    runs: Sequence[Candidate], company: Company, limits: Thresholds, prepared: Prepared | None = None
) -> CellView:
    """A cell with nothing found yet; `prepared` is shared by all cells of a test, under the same limits."""
    ready = Prepared(limits) if prepared is None else prepared
    return CellView(
        runs=tuple(map(ready.features, runs)),
        peers=tuple(tuple(map(ready.features, peer)) for peer in company.peers),
        company=company,
        limits=limits,
        prepared=ready,
        found={run.id: () for run in runs},
    )
