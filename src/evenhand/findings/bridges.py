"""An anchor that was run before and after a change of driver, system or test, and what it bridges."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace

from evenhand.findings.bridged_sessions import later
from evenhand.findings.crossing import plain
from evenhand.findings.effects import Effect, effects
from evenhand.findings.finding import Caveat, Cell
from evenhand.findings.measured import Asked, measured, sums
from evenhand.records.studies import Study

NEW, OLD = "new", "old"


@dataclass(frozen=True, slots=True, kw_only=True)
class Period:
    """Cells that were measured alike: one driver, one system, one version of each test. `name` says which."""

    name: str
    cells: tuple[Cell, ...]

    def cell(self, test: str, setup: str) -> Cell | None:
        """The headline cell of a setup in a test, if it has runs."""
        found = (c for c in self.cells if c.headline and (c.test, c.setup) == (test, setup))
        return next((cell for cell in found if cell.observations), None)


@dataclass(frozen=True, slots=True, kw_only=True)
class Shift:
    """What a change did to the anchor in one test: new over old; above 1 is better since."""

    test: str
    anchor: str
    old: str
    new: str
    effect: Effect


@dataclass(frozen=True, slots=True, kw_only=True)
class Bridged:
    """a, measured in its period, over b, measured in another, both seen from the period of a."""

    test: str
    a: str
    b: str
    anchor: str
    effect: Effect


@dataclass(frozen=True, slots=True, kw_only=True)
class NoBridge:
    """Two numbers from different periods that nothing joins: never in one ratio, never in one chart."""

    test: str
    a: str
    b: str
    old: str
    new: str
    words: str
    todo: str


def shifts(anchor: str, *, old: Period, new: Period, study: Study) -> tuple[Shift, ...]:
    """The shift of each test that the anchor was run in, before and after.

    ln(new/old) with the spread moderated over tests; Holm over them. What else changed between the two bench
    days (room, dust) is in it as well, and the allowance stands for it: runs of two periods are never taken
    to have been in turns.
    """
    found = [pair for test in study.tests if (pair := anchored(anchor, test, old, new))]
    asked = [
        a for pair in found if (a := _asked(dict(zip((NEW, OLD), pair, strict=True)), {NEW: 1.0, OLD: -1.0}))
    ]
    made = effects(sums(asked, boot_allowance=study.boot_allowance), margin=math.log1p(study.margin))
    return tuple(
        Shift(test=a.of.test, anchor=anchor, old=old.name, new=new.name, effect=effect)
        for a, effect in zip(asked, made, strict=True)
    )


def bridged(
    a: tuple[str, Period],
    b: tuple[str, Period],
    *,
    anchors: Sequence[str],
    study: Study,
    order: Sequence[str] = (),
) -> tuple[Bridged | NoBridge, ...]:
    """Setup a in one period over setup b in another, test by test, across the shift of an anchor.

    ln a − ln b − (ln anchor in a's period − ln anchor in b's): the error of the bridge is in the interval,
    four cells instead of two. The first anchor with runs in both periods is taken; where b itself was run in
    a's period, or a in b's, the two are held against each other there. An error of a session that a setup
    shares with the anchor, both taking turns, cancels; else it is allowed for. That the change moves b as it
    moved the anchor is taken for granted, and said, with the periods as they came in `order`. Where a test
    has no anchor: NoBridge.
    """
    told: list[Bridged | NoBridge | tuple[str, str, Asked]] = []
    for test in study.tests:
        found = _crossing(a, b, test, anchors)
        if found is not None:
            told.append((test, *found))
        elif _ran(a, test) and _ran(b, test):
            told.append(_no_bridge(a, b, test))
    asked = [t for t in told if isinstance(t, tuple)]
    summed = sums([s for _, _, s in asked], boot_allowance=study.boot_allowance)
    made = iter(effects(summed, margin=math.log1p(study.margin)))
    change = sorted((b[1].name, a[1].name), key=lambda name: order.index(name) if name in order else 0)
    return tuple(
        _told((a[0], b[0]), t, next(made), change=change) if isinstance(t, tuple) else t for t in told
    )


def _ran(side: tuple[str, Period], test: str) -> bool:
    return side[1].cell(test, side[0]) is not None


def anchored(anchor: str, test: str, old: Period, new: Period) -> tuple[Cell, Cell] | None:
    """The anchor's cells of a test, new and old, with places in the order that never meet."""
    before, after = old.cell(test, anchor), _later(new.cell(test, anchor))
    return None if before is None or after is None else (after, before)


def _asked(cells: Mapping[str, Cell], weights: Mapping[str, float]) -> Asked | None:
    """The sum, where all its cells can be used and tell the same number."""
    if not _alike(cells.values()):
        return None
    of = measured(cells)
    return Asked(of=of, weights=weights) if of and len(of.cells) == len(weights) else None


def _alike(cells: Iterable[Cell]) -> bool:
    """Whether these are under one definition and direction; versions may differ, that is what is bridged."""
    return len({(cell.metric, cell.better) for cell in cells}) == 1


_WEIGHTS = {"a": 1.0, "b": -1.0, "anchor beside a": -1.0, "anchor beside b": 1.0}


def _crossing(
    a: tuple[str, Period], b: tuple[str, Period], test: str, anchors: Sequence[str]
) -> tuple[str, Asked] | None:
    """What joins the two in this test, and the sum: one of the two run in both periods, else an anchor."""
    for period, joining in ((a[1], b[0]), (b[1], a[0])):
        asked = _sum({"a": period.cell(test, a[0]), "b": period.cell(test, b[0])})
        if asked is not None:
            return joining, asked
    for anchor in (key for key in anchors if key not in (a[0], b[0])):
        beside = a[1].cell(test, anchor), _later(b[1].cell(test, anchor))
        cells = (a[1].cell(test, a[0]), _later(b[1].cell(test, b[0])), *beside)
        asked = _sum(dict(zip(_WEIGHTS, cells, strict=True)))
        if asked is not None:
            return anchor, asked
    return None


def _sum(cells: Mapping[str, Cell | None]) -> Asked | None:
    there = {name: cell for name, cell in cells.items() if cell is not None}
    weights = {name: _WEIGHTS[name] for name in there}
    return _asked(there, weights) if len(there) == len(cells) else None


def _later(cell: Cell | None) -> Cell | None:
    """The cell with its order moved beyond that of the other period, where places began at 1 again."""
    return None if cell is None else later(cell)


def _no_bridge(a: tuple[str, Period], b: tuple[str, Period], test: str) -> NoBridge:
    words = f"measured under {b[1].name} and under {a[1].name}, and no setup was run under both"
    todo = "run one setup again under both, or measure both setups under one of them"
    return NoBridge(test=test, a=a[0], b=b[0], old=b[1].name, new=a[1].name, words=words, todo=todo)


def _told(
    pair: tuple[str, str], told: tuple[str, str, Asked], effect: Effect, *, change: Sequence[str]
) -> Bridged:
    (a, b), (test, anchor, _) = pair, told
    effect = effect if anchor in pair else _with_caveat(effect, anchor, b, change=change)
    return Bridged(test=test, a=a, b=b, anchor=anchor, effect=effect)


def _with_caveat(effect: Effect, anchor: str, b: str, *, change: Sequence[str]) -> Effect:
    old, new = map(plain, change)
    words = f"bridged by {{setups[0]}}, run under {old} and under {new}: taken for granted that the change "
    words += "moves {setups[1]} as it moved {setups[0]}"
    caveat = Caveat(key="bridged", words=words, setups=(anchor, b))
    return replace(effect, caveats=(*effect.caveats, caveat))
