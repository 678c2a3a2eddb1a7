"""The search for flips against trying every single change: ``python -m validation.flips``."""

from __future__ import annotations

import argparse
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace

from evenhand.findings.exclusions import LeftOutRun
from evenhand.findings.finding import Cell, Observation
from evenhand.money.break_even import Value
from evenhand.records.audiences import Audience, Property
from evenhand.verdicts.case import Case
from evenhand.verdicts.changes import without_title
from evenhand.verdicts.flips import flips
from evenhand.verdicts.grounds import pair_grounds
from evenhand.verdicts.joint_flips import joint_flips, pairs_of
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


def tried_one_by_one(
    case: Case, cells: Cells, left: Sequence[LeftOutRun], steps: Steps = COARSE
) -> dict[Key, float]:
    """The same by a whole verdict after every single change: the size of the smallest that turns."""
    base = {(v.a, v.b): aspects(v) for v in verdicts(case)}
    smallest: dict[Key, float] = {}
    for lever, name, size, changed in every_change(case, cells, left, steps):
        for said in verdicts(changed):
            was, becomes = base[said.a, said.b], aspects(said)
            for aspect in was:
                if becomes[aspect] != was[aspect]:
                    key = (said.a, said.b, aspect, lever, name)
                    smallest[key] = min(size, smallest.get(key, 9e9))
    return smallest


def every_change(
    case: Case, cells: Cells, left: Sequence[LeftOutRun], steps: Steps = COARSE
) -> Iterator[Change]:
    """Every price, share, margin, title and run that the search may try, one whole case each."""
    yield from _prices(case, steps)
    yield from _shares(case, steps)
    yield from _margins(case, steps)
    shares = verdicts(case)[0].shares
    for test in case.study.tests:
        gone = without_title(case, test) if (test, Property.SPEED) in shares else None
        if gone is not None:
            yield Lever.TITLE, test, shares[test, Property.SPEED], gone
    for run in left:
        if (run.test, Property.SPEED) not in shares:
            continue
        with_it = tuple(_joined(c, run) for c in cells)
        n = len(next(c for c in with_it if (c.test, c.setup) == (run.test, run.setup)).observations)
        pairs = pair_grounds(with_it, study=case.study, properties=SPEED)
        yield (
            Lever.RUN,
            run.observation.run,
            shares[run.test, Property.SPEED] / n,
            replace(case, pairs=pairs),
        )


def _prices(case: Case, steps: Steps) -> Iterator[Change]:
    for setup, price in case.prices.items():
        for k in range(1, int(steps.price_most * price) // steps.price_minor + 1):
            for minor in (price - k * steps.price_minor, price + k * steps.price_minor):
                prices = {**case.prices, setup: minor}
                yield Lever.PRICE, setup, abs(minor - price) / price, replace(case, prices=prices)


def _shares(case: Case, steps: Steps) -> Iterator[Change]:
    if set(case.audience.groups) != {"games", "work"}:  # one of them has no test left
        return
    games = case.audience.groups["games"] / sum(case.audience.groups.values())
    for step in range(1, round(1 / steps.weight)):
        share = step * steps.weight
        if abs(share - games) > 1e-9:
            audience = replace(case.audience, groups={"games": share, "work": 1 - share})
            yield Lever.WEIGHT, "games", abs(share - games), replace(case, audience=audience)


def _margins(case: Case, steps: Steps) -> Iterator[Change]:
    was = case.study.margin
    for step in range(1, round(steps.margin_most / steps.margin) + 1):
        margin = step * steps.margin
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


def agree_on_two(seed: int) -> bool:
    """The same for two changes together."""
    case, cells, left = study_numbered(seed)
    changed = others(cells, left, study=case.study, properties=SPEED)
    found, tried = joint_by_search(case, changed), joint_tried_one_by_one(case, cells, left)
    return found.keys() == tried.keys() and all(abs(found[k] - tried[k]) < 1e-9 for k in tried)


JointKey = tuple[str, str, Aspect, frozenset[tuple[Lever, str]]]
ROUGH = Steps(price_minor=5000, price_most=0.3, weight=0.1, weight_of_two=0.1, margin=0.01, margin_most=0.1)


def joint_by_search(case: Case, changed: Sequence[Other]) -> dict[JointKey, float]:
    """The search's joint flips: how much of each alone, by pair, aspect and what is moved."""
    alone = flips(case, changed, steps=ROUGH)
    twice = pairs_of(changed, study=case.study, properties=SPEED)
    found = joint_flips(case, changed, alone, two_others=twice, steps=ROUGH)
    return {(f.a, f.b, f.aspect, frozenset((m.lever, m.name) for m in f.moves)): f.share for f in found}


def joint_tried_one_by_one(case: Case, cells: Cells, left: Sequence[LeftOutRun]) -> dict[JointKey, float]:
    """The same by a whole verdict after every two changes."""
    base = {(v.a, v.b): aspects(v) for v in verdicts(case)}
    alone = tried_one_by_one(case, cells, left, ROUGH)
    most = {Lever.PRICE: ROUGH.price_most, Lever.MARGIN: ROUGH.margin_most / case.study.margin}
    smallest: dict[JointKey, float] = {}
    for first in every_change(case, cells, left, ROUGH):
        for then in every_change(first[3], cells, left, ROUGH):
            names = frozenset({first[:2], then[:2]})
            if _goes_together(first, then):
                for said in verdicts(then[3]):
                    for aspect, was in base[said.a, said.b].items():
                        place = (said.a, said.b, aspect)
                        share = _share(place, (first, then), alone, most)
                        if aspects(said)[aspect] != was and share is not None:
                            key = (*place, names)
                            smallest[key] = min(share, smallest.get(key, 9e9))
    return smallest


def _goes_together(first: Change, then: Change) -> bool:
    """Each two things once, the one that only counts or not first; and no price with the margin."""
    order = [Lever.TITLE, Lever.RUN, Lever.METRIC, Lever.PRICE, Lever.WEIGHT, Lever.MARGIN]
    places = [(order.index(lever), name) for lever, name, _, _ in (first, then)]
    return places[0] < places[1]


def _share(
    place: tuple[str, str, Aspect], changes: Sequence[Change], alone: Mapping[Key, float],
    most: Mapping[Lever, float],
) -> float | None:  # fmt: skip
    """How much of what each would need alone; None where one is enough by itself."""
    shares = []
    for lever, name, size, _ in changes:
        needed = alone.get((*place, lever, name))
        if lever in (Lever.TITLE, Lever.RUN, Lever.METRIC):
            if needed is not None:
                return None
            continue
        shares.append(size / (most.get(lever, 1.0) if needed is None else needed))
    share = max(shares, default=1.0)
    return share if share < 1.0 or not shares else None


def main() -> None:
    """Print how many random studies agree."""
    asked = argparse.ArgumentParser(description=__doc__)
    asked.add_argument("--studies", type=int, default=200)
    studies = asked.parse_args().studies
    same = sum(agree(seed) for seed in range(studies))
    print(f"one change: {same} of {studies} studies: search and trying everything find the same")
    same = sum(agree_on_two(seed) for seed in range(studies))
    print(f"two changes: {same} of {studies} studies: search and trying everything find the same")


if __name__ == "__main__":
    main()
