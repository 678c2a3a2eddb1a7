"""The search for flips against trying every single change: ``python -m validation.flips``."""

from __future__ import annotations

import argparse
from collections.abc import Iterator, Sequence
from dataclasses import replace

from evenhand.findings.exclusions import LeftOutRun
from evenhand.findings.finding import Cell, Observation
from evenhand.money.break_even import Value
from evenhand.records.audiences import Audience, Property
from evenhand.verdicts.case import Case
from evenhand.verdicts.changes import without_title
from evenhand.verdicts.flips import flips
from evenhand.verdicts.grounds import pair_grounds
from evenhand.verdicts.moves import Aspect, Flip, Lever, Steps
from evenhand.verdicts.others import Other, others
from evenhand.verdicts.verdict import Verdict, verdicts
from validation.workshops import SPEED, case_of, random_study

COARSE = Steps(price_minor=700, price_most=0.4, weight=0.05, margin=0.005, margin_most=0.1)
Cells = tuple[Cell, ...]
Change = tuple[Lever, str, float, Case]
Key = tuple[str, str, Aspect, Lever, str]


def found_by_search(case: Case, changed: Sequence[Other] = (), steps: Steps = COARSE) -> dict[Key, Flip]:
    """The search's flips by pair, aspect, lever and name."""
    found = flips(case, changed, steps=steps)
    return {(f.a, f.b, f.aspect, f.moves[0].lever, f.moves[0].name): f for f in found}


def aspects(said: Verdict) -> dict[Aspect, object]:
    """What each aspect of a verdict says."""
    order = (said.ratio > 1) - (said.ratio < 1)
    money = {} if said.value is Value.UNKNOWN else {Aspect.VALUE: said.value}
    return {Aspect.ORDER: order, Aspect.OUTCOME: said.outcome, **money}


def tried_one_by_one(case: Case, cells: Cells, left: Sequence[LeftOutRun]) -> dict[Key, float]:
    """The same by a whole verdict after every single change: the size of the smallest that turns."""
    base = {(v.a, v.b): aspects(v) for v in verdicts(case)}
    smallest: dict[Key, float] = {}
    for lever, name, size, changed in every_change(case, cells, left):
        for said in verdicts(changed):
            was, becomes = base[said.a, said.b], aspects(said)
            for aspect in was:
                if becomes[aspect] != was[aspect]:
                    key = (said.a, said.b, aspect, lever, name)
                    smallest[key] = min(size, smallest.get(key, 9e9))
    return smallest


def every_change(case: Case, cells: Cells, left: Sequence[LeftOutRun]) -> Iterator[Change]:
    """Every price, share, margin, title and run that the search may try, one whole case each."""
    yield from _prices(case)
    yield from _shares(case)
    yield from _margins(case)
    shares = verdicts(case)[0].shares
    for test in case.study.tests:
        gone = without_title(case, test)
        if gone is not None:
            yield Lever.TITLE, test, shares[test, Property.SPEED], gone
    for run in left:
        with_it = tuple(_joined(c, run) for c in cells)
        n = len(next(c for c in with_it if (c.test, c.setup) == (run.test, run.setup)).observations)
        pairs = pair_grounds(with_it, study=case.study, properties=SPEED)
        yield (
            Lever.RUN,
            run.observation.run,
            shares[run.test, Property.SPEED] / n,
            replace(case, pairs=pairs),
        )


def _prices(case: Case) -> Iterator[Change]:
    for setup, price in case.prices.items():
        for k in range(1, int(COARSE.price_most * price) // COARSE.price_minor + 1):
            for minor in (price - k * COARSE.price_minor, price + k * COARSE.price_minor):
                prices = {**case.prices, setup: minor}
                yield Lever.PRICE, setup, abs(minor - price) / price, replace(case, prices=prices)


def _shares(case: Case) -> Iterator[Change]:
    games = case.audience.groups["games"] / sum(case.audience.groups.values())
    for step in range(1, round(1 / COARSE.weight)):
        share = step * COARSE.weight
        if abs(share - games) > 1e-9:
            audience = replace(case.audience, groups={"games": share, "work": 1 - share})
            yield Lever.WEIGHT, "games", abs(share - games), replace(case, audience=audience)


def _margins(case: Case) -> Iterator[Change]:
    was = case.study.margin
    for step in range(1, round(COARSE.margin_most / COARSE.margin) + 1):
        margin = step * COARSE.margin
        if abs(margin - was) > 1e-9:
            study = replace(case.study, margin=margin)
            yield Lever.MARGIN, "", abs(margin - was) / was, replace(case, study=study)


def _joined(cell: Cell, run: LeftOutRun) -> Cell:
    if (cell.test, cell.setup) != (run.test, run.setup):
        return cell
    return replace(cell, observations=(*cell.observations, run.observation))


def study_numbered(seed: int) -> tuple[Case, Cells, list[LeftOutRun]]:
    """A random study with prices and one run that was left out."""
    cells, tests = random_study(seed)
    weights = {"games": 1 + seed % 4, "work": 2}
    audience = Audience(key="x", name="X", groups=weights, fixed_minor=5000 * (seed % 3))
    setups = tuple(dict.fromkeys(c.setup for c in cells))
    prices = {s: 90000 + 1300 * ((seed * 7 + 11 * i) % 17) for i, s in enumerate(setups)}
    odd = Observation(run="odd", value=cells[0].observations[0].value * 0.7, boot="b0", order=90)
    left = [LeftOutRun(test=cells[0].test, setup=cells[0].setup, metric="average_fps", observation=odd)]
    return case_of(audience, cells, tests=tests, prices=prices), cells, left


def agree(seed: int) -> bool:
    """Whether search and trying everything find the same flips of one random study, to the last digit."""
    case, cells, left = study_numbered(seed)
    changed = others(cells, left, study=case.study, properties=SPEED)
    found = {key: flip.size for key, flip in found_by_search(case, changed).items()}
    tried = tried_one_by_one(case, cells, left)
    return found.keys() == tried.keys() and all(abs(found[k] - tried[k]) < 1e-9 for k in tried)


def main() -> None:
    """Print how many random studies agree."""
    asked = argparse.ArgumentParser(description=__doc__)
    asked.add_argument("--studies", type=int, default=200)
    studies = asked.parse_args().studies
    same = sum(agree(seed) for seed in range(studies))
    print(f"{same} of {studies} studies: the search finds exactly what trying everything finds")


if __name__ == "__main__":
    main()
