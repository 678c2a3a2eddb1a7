"""Every change of a case that the search for flips may try, and every two: one whole case each."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cache
from itertools import combinations

from evenhand.findings.exclusions import LeftOutRun
from evenhand.findings.finding import Cell
from evenhand.records.audiences import Property
from evenhand.verdicts.case import Case
from evenhand.verdicts.grounds import PairGrounds, pair_grounds
from evenhand.verdicts.moves import Lever, Steps
from evenhand.verdicts.verdict import verdicts
from evenhand.verdicts.weighed_metrics import LOW_METRIC
from validation.workshops import SPEED, study_of

Cells = tuple[Cell, ...]
# What only counts or not goes before what moves by steps; each two things are tried once.
ORDER = (Lever.TITLE, Lever.RUN, Lever.METRIC, Lever.PRICE, Lever.WEIGHT, Lever.MARGIN)


@dataclass(frozen=True, slots=True, kw_only=True)
class Tried:
    """A case with what was changed about it: each thing and how far; `cells` are those it then stands on."""

    case: Case
    cells: Cells
    left: tuple[LeftOutRun, ...]
    moves: tuple[tuple[Lever, str, float], ...] = ()

    def after(self, lever: Lever, name: str, size: float, case: Case, cells: Cells | None = None) -> Tried:
        """The same after one more change."""
        moves = (*self.moves, (lever, name, size))
        return replace(self, case=case, cells=cells or self.cells, moves=moves)


def every_change(now: Tried, steps: Steps, levers: Sequence[Lever] = ORDER) -> Iterator[Tried]:
    """Every price, share, margin, title, run and definition that the search may try, one whole case each."""
    tried_by = {Lever.PRICE: _prices, Lever.WEIGHT: _shares, Lever.MARGIN: _margins, Lever.METRIC: _lows}
    for lever in levers:
        if lever in tried_by:
            yield from tried_by[lever](now, steps)
        elif lever is Lever.TITLE:
            yield from _titles(now)
        else:
            yield from _runs(now)


def _titles(now: Tried) -> Iterator[Tried]:
    for test, share in shares(now.case).items():
        gone = without_title(now.case, test)
        if gone is not None:
            yield now.after(Lever.TITLE, test, share, gone)


def shares(case: Case) -> dict[str, float]:
    """The share of each test among all tests."""
    found = {
        test: share for (test, asked), share in verdicts(case)[0].shares.items() if asked is Property.SPEED
    }
    return {test: share / sum(found.values()) for test, share in found.items()}


def _runs(now: Tried) -> Iterator[Tried]:
    weighed = shares(now.case)
    for run in now.left:
        if run.test in weighed:
            cells = tuple(_joined(c, run) for c in now.cells)
            home = next(c for c in cells if (c.test, c.setup, c.metric) == (run.test, run.setup, run.metric))
            size = weighed[run.test] / len(home.observations)
            yield now.after(Lever.RUN, run.observation.run, size, _standing_on(now.case, cells), cells)


def _lows(now: Tried, _: Steps) -> Iterator[Tried]:
    weighed = shares(now.case)
    with_lows = [c.test for c in now.cells if c.metric == LOW_METRIC and c.setup == now.case.study.setups[0]]
    sets = [(test, [test]) for test in with_lows] + ([("", with_lows)] if len(with_lows) > 1 else [])
    for name, tests in sets:
        size = sum(weighed.get(test, 0.0) for test in tests)
        if size > 0:
            cells = tuple(
                replace(c, headline=c.metric == LOW_METRIC) if c.test in tests else c for c in now.cells
            )
            yield now.after(Lever.METRIC, name, size, _standing_on(now.case, cells), cells)


def _standing_on(case: Case, cells: Cells) -> Case:
    return replace(case, pairs=_grounds(cells))


@cache
def _grounds(cells: Cells) -> tuple[PairGrounds, ...]:
    return pair_grounds(cells, study=study_of(cells), properties=SPEED)


def without_title(case: Case, test: str) -> Case | None:
    """The case without a test, its group keeping its share while it has another; None if nothing is left."""
    study = replace(case.study, weights={**case.study.weights, test: 0.0})
    group = next((t.group for t in case.tests if t.key == test), "")
    audience = replace(case.audience, tests={key: w for key, w in case.audience.tests.items() if key != test})
    others = [t.key for t in case.tests if t.group == group and t.key in study.tests]
    left = any(study.weights.get(key, 1.0) > 0 and key not in audience.tests for key in others)
    if group and not left:
        audience = replace(audience, groups={g: w for g, w in audience.groups.items() if g != group})
    if not sum(audience.groups.values()) + sum(audience.tests.values()) > 0:
        return None
    return replace(case, study=study, audience=audience)


def _prices(now: Tried, steps: Steps) -> Iterator[Tried]:
    for setup, price in now.case.prices.items():
        for k in range(1, int(steps.price_most * price) // steps.price_minor + 1):
            for minor in (price - k * steps.price_minor, price + k * steps.price_minor):
                case = replace(now.case, prices={**now.case.prices, setup: minor})
                yield now.after(Lever.PRICE, setup, abs(minor - price) / price, case)


def _shares(now: Tried, steps: Steps) -> Iterator[Tried]:
    """Each named weight from nothing to all; of two parts, or two properties, the first."""
    for name in _movable(now.case):
        for share in _grid(steps.weight):
            case, size = _weighing(now.case, {name: share})
            if size[name] > 1e-9:
                yield now.after(Lever.WEIGHT, name, size[name], case)


def _two_shares(now: Tried, steps: Steps) -> Iterator[Tried]:
    """Every two of them together."""
    for one, other in combinations(_movable(now.case), 2):
        for first in _grid(steps.weight_of_two):
            for then in _grid(steps.weight_of_two):
                together = (one in Property.__members__.values()) == (other in Property.__members__.values())
                if together and first + then > 1 - 1e-9:
                    continue
                case, size = _weighing(now.case, {one: first, other: then})
                if min(size.values()) > 1e-9:
                    changed = now.after(Lever.WEIGHT, one, size[one], case)
                    yield changed.after(Lever.WEIGHT, other, size[other], case)


def _grid(step: float) -> list[float]:
    return [k * step for k in range(1, round(1 / step))]


def _movable(case: Case) -> list[str]:
    audience = case.audience
    parts, properties = [*audience.groups, *audience.tests], [p.value for p in audience.properties]
    named = [sides if len(sides) > 2 else sides[: len(sides) - 1] for sides in (parts, properties)]
    return [*named[0], *named[1]]


def _weighing(case: Case, wanted: Mapping[str, float]) -> tuple[Case, dict[str, float]]:
    """The case with some named weights at these shares, the others in proportion; and how far each went."""
    audience = case.audience
    parts = {**audience.groups, **audience.tests}
    properties = {p.value: weight for p, weight in audience.properties.items()}
    size: dict[str, float] = {}
    for side in (parts, properties):
        total = sum(side.values())
        own = {name: share for name, share in wanted.items() if name in side}
        size |= {name: abs(share - side[name] / total) for name, share in own.items()}
        rest = sum(weight for name, weight in side.items() if name not in own)
        for name in side if own else ():
            side[name] = own[name] if name in own else side[name] / rest * (1 - sum(own.values()))
    changed = replace(
        audience, groups={g: parts[g] for g in audience.groups}, tests={t: parts[t] for t in audience.tests},
        properties={p: properties[p.value] for p in audience.properties},
    )  # fmt: skip
    return replace(case, audience=changed), size


def _margins(now: Tried, steps: Steps) -> Iterator[Tried]:
    was = now.case.study.margin
    for step in range(1, round(steps.margin_most / steps.margin) + 1):
        margin = step * steps.margin
        if abs(margin - was) > 1e-9:
            case = replace(now.case, study=replace(now.case.study, margin=margin))
            yield now.after(Lever.MARGIN, "", abs(margin - was) / was, case)


def _joined(cell: Cell, run: LeftOutRun) -> Cell:
    if (cell.test, cell.setup, cell.metric) != (run.test, run.setup, run.metric):
        return cell
    return replace(cell, observations=(*cell.observations, run.observation))


def every_two(as_is: Tried, steps: Steps) -> Iterator[Tried]:
    """Every two changes, each two things once; two weights go together, all others one after the other."""
    yield from _two_shares(as_is, steps)
    for first in every_change(as_is, steps):
        ((lever, name, _),) = first.moves
        later = [
            each for each in ORDER[ORDER.index(lever) :] if (each, lever) != (Lever.WEIGHT, Lever.WEIGHT)
        ]
        for both in every_change(first, steps, later):
            then = both.moves[1][:2]
            if (ORDER.index(then[0]), then[1]) > (ORDER.index(lever), name) and not _same_test(both):
                yield both


def _same_test(both: Tried) -> bool:
    """Whether two changes of what counts, neither a title left out, are of one test."""
    tests = {run.observation.run: {run.test} for run in both.left}
    lows = {c.test for c in both.cells if c.metric == LOW_METRIC}
    touched = [
        tests[name] if lever is Lever.RUN else ({name} if name else lows)
        for lever, name, _ in both.moves
        if lever in (Lever.RUN, Lever.METRIC)
    ]
    titles = [{name} for lever, name, _ in both.moves if lever is Lever.TITLE]
    return len(touched) + len(titles) == 2 and bool(touched) and bool(set.intersection(*touched, *titles))
