"""Which part made the difference: effects of swapped parts, where the setups on record tell them apart."""

from __future__ import annotations

import math
from collections.abc import Collection, Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import combinations

import numpy as np

from evenhand.findings.cause import Cause, Sort, Standing
from evenhand.findings.crossing import cross, plain
from evenhand.findings.effects import effects
from evenhand.findings.factors import NOT_ON_RECORD, UNDESCRIBED, Factors, factors_of
from evenhand.findings.finding import Caveat, Cell, Outcome
from evenhand.findings.machines import Machine
from evenhand.findings.measured import Asked, Measured, measured, sums
from evenhand.findings.refusals import Refusal, apart_from
from evenhand.findings.squares import interaction, rests_on, swaps_otherwise
from evenhand.findings.stamps import not_bridged
from evenhand.records.studies import Study
from evenhand.stats.contrasts import weights_of
from evenhand.stats.designs import Change, bundles, changes_between, is_direct
from evenhand.stats.spread import Floats


@dataclass(frozen=True, slots=True, kw_only=True)
class Bench:
    """What causes are looked for in: setups with their parts, their cells, and what may not be compared."""

    machines: tuple[Machine, ...]
    cells: tuple[Cell, ...]
    refused: tuple[Refusal, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class _Told:
    """A cause without its effect, and the sum that is asked for it."""

    cause: Cause
    asked: Asked | None = None


def causes(a: str, b: str, *, bench: Bench, study: Study) -> tuple[Cause, ...]:
    """What makes setup a better than setup b, test by test, as far as the setups on record can tell.

    Effects are taken over all setups with runs of the test, by least squares over cell means
    (`stats.contrasts.weights_of`): in a full 2×2 the mean of both orders. Where all that differs is one
    bundle, it is the difference of the two, which needs nothing to add up. Parts that no setup tells apart
    are one bundle, with their joint effect and no cause. How setups were measured (driver, system and the
    like) is a factor of its own: a swap that was recorded with another driver is a bundle of part and driver.
    Interactions y11 − y10 − y01 + y00 where all four setups are on record; there a bundle of parts is taken
    as one.

    Spread is moderated over the tests; outcomes as in `outcomes.decide`, Holm over everything returned here
    that has an interval from repeats. Effects are logs that add up; a ratio multiplies. a over b.
    """
    told = [t for test in study.tests for t in _of_test(a, b, test, bench)]
    found = sums([t.asked for t in told if t.asked], boot_allowance=study.boot_allowance)
    judged = iter(effects(found, margin=math.log1p(study.margin)))
    made = [replace(t.cause, effect=next(judged)) if t.asked else t.cause for t in told]
    return tuple(_with_dependence(cause, made) for cause in made)


def _of_test(a: str, b: str, test: str, bench: Bench) -> Iterator[_Told]:
    cells = {c.setup: c for c in bench.cells if c.test == test and c.headline}
    bare = Cause(test=test, metric=next((c.metric for c in cells.values()), ""), a=a, b=b)
    refusal = next((r for r in bench.refused if r.test == test and {a, b} <= set(r.setups)), None)
    if refusal is not None:
        yield _Told(cause=replace(bare, standing=Standing.REFUSED, caveats=(_refused(refusal),)))
        return
    apart = apart_from((a, b), test, bench.refused)
    machines = [machine for machine in bench.machines if machine.key not in apart]
    of = measured({m.key: cells[m.key] for m in machines if m.key in cells})
    lacking = tuple(setup for setup in (a, b) if of is None or setup not in of.cells)
    if of is None or lacking:
        caveat = Caveat(key="no-runs", words="no run counts in this test", setups=lacking, each=True)
        yield _Told(cause=replace(bare, caveats=(caveat,)))
        return
    there = [machine for machine in machines if machine.key in of.cells]
    factors = factors_of(there, test=test)
    ends = of.cells[a], of.cells[b]
    yield from _effects(bare, factors, of, apart=None if cross(*ends) else not_bridged(*ends))


def _refused(refusal: Refusal) -> Caveat:
    return Caveat(key="refused", words=plain(refusal.words), setups=refusal.setups)


def _effects(bare: Cause, factors: Factors, of: Measured, *, apart: Caveat | None) -> Iterator[_Told]:
    """Every bundle of changes between the two setups, and the interactions of those that are the question.

    Where the two are `apart`, what changed together with a driver has no number: it is their raw ratio.
    """
    design = factors.design
    whole = changes_between(design, factors.row(bare.b), factors.row(bare.a))
    groups = bundles(design, whole)
    asked = [group for group in groups if _is_asked(group, factors)]
    for group in groups:
        told = _effect(bare, group, factors, of, beside=[other for other in asked if other is not group])
        yield _without_number(told, apart) if apart and _is_raw(group, factors, whole) else told
    for first, second in (*combinations(asked, 2), *_with_others(bare, asked, factors)):
        weights = interaction(factors, first, second)
        if weights is not None:
            changes = (*first, *second)
            cause = replace(
                bare, sort=Sort.INTERACTION, standing=Standing.SHOWN, changes=changes, against=tuple(second)
            )
            yield _with_sum(cause, of, weights)


def _is_raw(group: Sequence[Change], factors: Factors, whole: Sequence[Change]) -> bool:
    """Whether what was measured otherwise is in this effect, told apart by no setup."""
    accident = any(change.factor in factors.accidents for change in group)
    return accident and (len(group) > 1 or len(group) == len(whole))


def _without_number(told: _Told, apart: Caveat) -> _Told:
    caveats = (*(c for c in told.cause.caveats if c.key != "adds-up"), apart)
    return _Told(cause=replace(told.cause, weights={}, caveats=caveats))


def _with_others(
    bare: Cause, asked: Sequence[Sequence[Change]], factors: Factors
) -> Iterator[tuple[Sequence[Change], Sequence[Change]]]:
    """The one thing in which two setups differ, with each other choice of what they have in common.

    Their difference is its effect beside what both have; where it is another beside something else, that is
    to be told: how much more it does beside what both have.
    """
    design, row = factors.design, factors.row(bare.a)
    whole = changes_between(design, factors.row(bare.b), row)
    if len(asked) != 1 or len(asked[0]) != len(whole):
        return
    mine = {change.factor for change in asked[0]}
    for factor, has in zip(design.factors, row, strict=True):
        for level in design.levels[factor]:
            other = [Change(factor=factor, low=level, high=has)]
            if factor not in mine and level != has and _is_asked(other, factors):
                yield asked[0], other


def _is_asked(group: Sequence[Change], factors: Factors) -> bool:
    """Whether these are parts, state or named stamps that somebody wrote down: what an interaction is of."""
    return all(
        change.factor not in (UNDESCRIBED, *factors.accidents)
        and NOT_ON_RECORD not in (change.low, change.high)
        for change in group
    )


def _effect(
    bare: Cause,
    group: Sequence[Change],
    factors: Factors,
    of: Measured,
    *,
    beside: Sequence[Sequence[Change]],
) -> _Told:
    accident = any(change.factor in factors.accidents for change in group)
    direct = len(group) == 1 and is_direct(factors.design, group[0])
    shown = factors.apart(group, bare.b, bare.a)
    if len(group) > 1:
        caveats = [_bundle_words(shown, factors, {bare.a, bare.b} if accident else frozenset())]
        caveats += [] if accident else swaps_otherwise(group, factors, of=bare.a)
    else:
        caveats = [*_unread(group[0], factors), *rests_on(group[0], factors, beside, of=bare.a)]
    standing = _standing(group, accident=accident)
    cause = replace(bare, standing=standing, changes=shown, caveats=tuple(caveats), direct=direct)
    return _with_sum(cause, of, _weights(bare, group, factors))


def _weights(bare: Cause, group: Sequence[Change], factors: Factors) -> Floats:
    """By least squares; but all that differs, one part or a bundle, is the difference of the two itself."""
    whole = changes_between(factors.design, factors.row(bare.b), factors.row(bare.a))
    if len(group) < len(whole):
        return weights_of(factors.design, group)
    weights = np.zeros(len(factors.setups))
    weights[factors.setups.index(bare.a)], weights[factors.setups.index(bare.b)] = 1.0, -1.0
    return weights


def _standing(group: Sequence[Change], *, accident: bool) -> Standing:
    if len(group) > 1:
        return Standing.BUNDLED
    if group[0].factor == UNDESCRIBED or NOT_ON_RECORD in (group[0].low, group[0].high):
        return Standing.UNREAD
    return Standing.BESIDE if accident else Standing.SHOWN


def _unread(change: Change, factors: Factors) -> Iterator[Caveat]:
    """That a side does not say what it has."""
    setups = factors.unread.get(change.factor, ())
    if setups:
        yield Caveat(key="unread", words=f"no {plain(change.factor)} on record", setups=setups, each=True)


def _with_sum(cause: Cause, of: Measured, weights: Floats) -> _Told:
    """The rows of a design stand in the order of the cells."""
    used = {setup: float(w) for setup, w in zip(of.cells, weights, strict=True) if w}
    return _Told(cause=replace(cause, weights=used), asked=Asked(of=of, weights=used))


def _changed_words(group: Sequence[Change]) -> str:
    """What changed together, and of what that is not on record."""
    unread = [plain(c.factor) for c in group if NOT_ON_RECORD in (c.low, c.high)]
    names = [plain(c.factor) for c in group if plain(c.factor) not in unread]
    changed = f"{_row(names, 'and')} changed{' together' if len(names) > 1 else ''}" if names else ""
    maybe = f"whether {_row(unread, 'or')} did is not on record" if unread else ""
    return ", ".join(filter(None, (changed, maybe if names else maybe.replace(" did ", " changed "))))


def _row(names: Sequence[str], last: str) -> str:
    return names[0] if len(names) == 1 else f"{', '.join(names[:-1])} {last} {names[-1]}"


def _bundle_words(group: Sequence[Change], factors: Factors, otherwise: Collection[str]) -> Caveat:
    """What is one bundle; with an accident in it, of which of the pair, `otherwise`, it is not on record."""
    told = _changed_words(group)
    if not otherwise:
        return Caveat(key="bundle", words=f"{told}: no setup on record tells them apart")
    unread = tuple(
        dict.fromkeys(s for n in factors.said for s in factors.unread.get(n, ()) if s in otherwise)
    )
    under = _row([plain(change.factor) for change in group if change.factor in factors.said], "or")
    words = f"{told}: recorded under another {under}, a swap shows no cause"
    slots = ", ".join(f"{{setups[{i}]}}" for i in range(len(unread)))
    return Caveat(
        key="other-conditions",
        words=f"{words}; not on record for {slots}" if unread else words,
        setups=unread,
    )


def _with_dependence(cause: Cause, made: Sequence[Cause]) -> Cause:
    """The same with what its effect measurably depends on, by the interactions of its test."""
    if cause.sort is Sort.INTERACTION or cause.standing is not Standing.SHOWN:
        return cause
    mine = cause.factors[0]
    tied = [c for c in made if c.test == cause.test and c.sort is Sort.INTERACTION and mine in c.factors]
    depends = [f for c in tied if _is_told(c) for f in c.factors if f != mine]
    return replace(cause, depends_on=tuple(depends))


def _is_told(cause: Cause) -> bool:
    effect = cause.effect
    return effect is not None and (effect.outcome in (Outcome.AHEAD, Outcome.BEHIND) or effect.measurably)
