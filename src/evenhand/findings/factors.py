"""Setups on record as rows of a design: parts by kind, state, named stamps, and how they were measured."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

from evenhand.findings.fairness import TEST_STAMPS
from evenhand.findings.machines import STATE, Machine, comes_with, same_values, setting_name
from evenhand.findings.stamps import VERSION
from evenhand.stats.designs import Change, Design, Row, as_one

NOT_ON_RECORD = "not on record"
UNDESCRIBED = "parts that nobody described"


@dataclass(frozen=True, slots=True, kw_only=True)
class Factors:
    """A design whose rows are setups; `accidents` are its factors that nobody asked about.

    Accidents that differ are one factor together ("driver and os"), so that nothing is taken to add up there.
    `kinds` are the factors that are kinds of part. `unread` names, by factor, setups that say nothing of it.
    `said` holds each accident by itself, a level a setup; the level of all together is for telling rows apart
    and no text to be read: ask `by_itself`.
    """

    setups: tuple[str, ...]
    design: Design
    kinds: frozenset[str] = frozenset()
    accidents: frozenset[str] = frozenset()
    unread: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    said: Mapping[str, tuple[str, ...]] = field(default_factory=dict)

    def row(self, setup: str) -> Row:
        """The levels of a setup."""
        return self.design.rows[self.setups.index(setup)]

    def levels(self, setup: str) -> dict[str, str]:
        """The same by factor."""
        return dict(zip(self.design.factors, self.row(setup), strict=True))

    def by_itself(self, levels: Mapping[str, str]) -> dict[str, str]:
        """The levels of factors of this design, accidents that are one factor one by one.

        >>> said = {"driver": ("31.4", "31.6"), "memory": ("6,000 MT/s, 30-36", "6,000 MT/s, 30-36")}
        >>> ((both, levels),) = _together(said).items()
        >>> design = Design(factors=(both,), rows=tuple((level,) for level in levels))
        >>> two = Factors(setups=("a", "b"), design=design, accidents=frozenset(design.factors), said=said)
        >>> two.by_itself(two.levels("b"))
        {'driver': '31.6', 'memory': '6,000 MT/s, 30-36'}
        """
        apart: dict[str, str] = {}
        for factor, level in levels.items():
            if factor in self.accidents:
                so = next(setup for setup in self.setups if self.levels(setup)[factor] == level)
                apart |= self.under(so)
            else:
                apart[factor] = level
        return apart

    def under(self, setup: str) -> dict[str, str]:
        """How a setup was measured: each accident by itself, where there is any."""
        at = self.setups.index(setup)
        return {name: column[at] for name, column in self.said.items()}

    def apart(self, changes: Sequence[Change], low: str, high: str) -> tuple[Change, ...]:
        """These changes between two setups as they are told: each accident in which they differ by itself."""
        one, other = self.setups.index(low), self.setups.index(high)
        accidents = tuple(
            Change(factor=name, low=column[one], high=column[other])
            for name, column in self.said.items() if column[one] != column[other]
        )  # fmt: skip
        parts = tuple(change for change in changes if change.factor not in self.accidents)
        return (*parts, *accidents) if len(parts) < len(changes) else parts


_Columns = dict[str, tuple[str, ...]]


def factors_of(
    machines: Sequence[Machine], *, named: frozenset[str] = frozenset(), test: str | None = None
) -> Factors:
    """The factors in which these setups differ, from the runs of one test where one is named.

    What nobody wrote down is a level of its own, never taken to be that of the others. Stamps that are
    `named` are factors by themselves; one that comes with other factors (a board's firmware, a processor's
    clock with processor and state) is one where they don't explain it.

    >>> from evenhand.records.builds import Build, Part, Setup
    >>> parts = {key: Part(key=key, kind="graphics", name=key) for key in ("g0", "g1")}
    >>> two = [Machine(setup=Setup(key=x, name=x, build=x, stamps={"driver": driver}),
    ...                build=Build(key=x, name=x, slot=1, parts=(part,)), parts=parts)
    ...        for x, part, driver in (("wren", "g0", "31.4"), ("plover", "g1", "31.6"))]
    >>> factors_of(two).design.rows, factors_of(two).accidents
    ((('g0', '31.4'), ('g1', '31.6')), frozenset({'driver'}))
    """
    parts = _part_columns(machines)
    state = {STATE: _levels([(m.setup.state,) for m in machines])}
    stamps = {setting_name(name, parts): column for name, column in _stamp_columns(machines, test).items()}
    columns = _varying({**parts, **state, **{n: c for n, c in stamps.items() if n in named}})
    accidents = {
        name: column
        for name, column in _varying(stamps).items()
        if name not in named and not _explained(column, _carriers(name, column, columns))
    }
    together = _together(accidents)
    return _made(
        machines, {**columns, **together}, kinds=frozenset(parts) - {UNDESCRIBED}, accidents=accidents
    )


def _made(
    machines: Sequence[Machine], columns: _Columns, *, kinds: frozenset[str], accidents: _Columns
) -> Factors:
    setups = tuple(machine.key for machine in machines)
    rows = tuple(zip(*columns.values(), strict=True)) if columns else ((),) * len(setups)
    named = {**columns, **accidents}
    unread = {
        name: lacking
        for name, column in named.items()
        if (lacking := tuple(s for s, level in zip(setups, column, strict=True) if level == NOT_ON_RECORD))
    }
    return Factors(
        setups=setups, design=Design(factors=tuple(columns), rows=rows), kinds=kinds & columns.keys(),
        accidents=frozenset(_together(accidents)), unread=unread, said=accidents,
    )  # fmt: skip


def _part_columns(machines: Sequence[Machine]) -> _Columns:
    kinds = [machine.by_kind() for machine in machines]
    names = dict.fromkeys(kind for by_kind in kinds for kind in by_kind)
    columns = {name: _levels([by_kind.get(name, ()) for by_kind in kinds]) for name in names}
    return {**columns, UNDESCRIBED: _levels([machine.unknown or ("none",) for machine in machines])}


def _stamp_columns(machines: Sequence[Machine], test: str | None) -> _Columns:
    said = [machine.stamps(test) for machine in machines]
    names = dict.fromkeys(name for stamps in said for name in stamps)
    # A version that differs within a test was bridged, or the test would have been refused.
    fixed = TEST_STAMPS - ({VERSION} if test else set())
    left = [name for name in names if name not in fixed]
    return {name: _levels([stamps.get(name, ()) for stamps in said]) for name in left}


def _levels(said: Sequence[tuple[str, ...]]) -> tuple[str, ...]:
    """One word a setup, the same for whatever says the same."""
    firsts: list[tuple[str, ...]] = []
    levels = []
    for values in said:
        first = next((f for f in firsts if same_values(f, values)), values)
        firsts.append(first)
        levels.append(" + ".join(first) if first else NOT_ON_RECORD)
    return tuple(levels)


def _varying(columns: _Columns) -> _Columns:
    return {name: column for name, column in columns.items() if len(set(column)) > 1}


def _carriers(name: str, column: tuple[str, ...], columns: _Columns) -> list[tuple[str, ...]]:
    """The columns that such a stamp would come with."""
    said = [level for level in column if level != NOT_ON_RECORD]
    return [columns[kind] for kind in comes_with(name, said, tuple(columns))]


def _explained(column: tuple[str, ...], carriers: Sequence[tuple[str, ...]]) -> bool:
    """Whether setups that are alike in these columns are alike in this one."""
    if not carriers:
        return False
    seen: dict[tuple[str, ...], str] = {}
    return all(
        seen.setdefault(key, level) == level
        for key, level in zip(zip(*carriers, strict=True), column, strict=True)
    )


def _together(columns: _Columns) -> _Columns:
    """All of these as one column, under their joint name."""
    if not columns:
        return {}
    levels = zip(*columns.values(), strict=True)
    return {" and ".join(columns): tuple(map(as_one, levels))}
