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
    """One cell under triage: its runs in the order given, its peers, and the faults found so far.

    `held` are the kinds that hold each run so far, `out` the runs that one of them keeps out for good.
    """

    runs: tuple[Features, ...]
    peers: tuple[tuple[Features, ...], ...]
    company: Company
    limits: Thresholds
    prepared: Prepared
    found: Mapping[str, tuple[Fault, ...]]
    held: Mapping[str, frozenset[str]]
    out: frozenset[str]

    def holding(self, run: str) -> frozenset[str]:
        """The kinds found so far that keep this run out of a finding."""
        return self.held[run]

    def has(self, run: str, *kinds: str) -> bool:
        """Whether the run has a fault of one of these kinds."""
        return any(f.kind in kinds for f in self.found[run])

    def blocked(self, run: str) -> bool:
        """Whether a fault found so far keeps this run out for good."""
        return run in self.out

    def siblings(self, run: str) -> tuple[Features, ...]:
        """The other runs of the cell that nothing holds so far, or nothing but what holds this run too.

        Five runs in a warm room are all in doubt, and still each other's siblings.
        """
        own, held, out = self.held[run], self.held, self.out
        return tuple(f for f in self.runs if f.id != run and f.id not in out and held[f.id] <= own)

    def with_found(self, more: Iterable[tuple[str, Fault]]) -> CellView:
        """The same cell with further faults on record."""
        found, held, out = dict(self.found), dict(self.held), set(self.out)
        for run, fault in more:
            found[run] = (*found[run], fault)
            if fault.severity in HOLDS:
                held[run] |= {fault.kind}
            if fault.severity is Severity.BLOCKS:
                out.add(run)
        return replace(self, found=found, held=held, out=frozenset(out))


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
        held={run.id: frozenset() for run in runs},
        out=frozenset(),
    )
