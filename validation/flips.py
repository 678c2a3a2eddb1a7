"""The search for flips against trying everything: ``python -m validation.flips``."""

from __future__ import annotations

import argparse
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import TypeVar

from evenhand.findings.exclusions import LeftOutRun
from evenhand.findings.finding import Cell, Observation
from evenhand.money.break_even import Value
from evenhand.records.audiences import Audience, Property
from evenhand.verdicts.case import Case
from evenhand.verdicts.flips import flips
from evenhand.verdicts.joint_flips import joint_flips
from evenhand.verdicts.moves import Aspect, Flip, Lever, Steps
from evenhand.verdicts.others import Other, others, pairs_of
from evenhand.verdicts.verdict import Verdict, verdicts
from evenhand.verdicts.weighed_metrics import LOW_METRIC
from validation.every_change import Tried, every_change, every_two
from validation.workshops import SPEED, case_of, random_study

COARSE = Steps(price_minor=700, price_most=0.4, weight=0.05, margin=0.005, margin_most=0.1)
ROUGH = Steps(
    price_minor=5000, price_most=0.3, price_of_two=0.001, weight=0.1, weight_of_two=0.1, margin=0.01,
    margin_most=0.1,
)  # fmt: skip
Key = tuple[str, str, Aspect, Lever, str]
JointKey = tuple[str, str, Aspect, frozenset[tuple[Lever, str]]]
Found = tuple[float, Flip]  # how far it goes, of what it needs alone where two go together, and the flip
K = TypeVar("K", Key, JointKey)
SAME = 1e-9


@dataclass(slots=True)
class Nearest:
    """The least that turns something: how far it goes, and whether what it then says of value is open.

    Several changes may go as far and lead elsewhere: `opens` has what any of them says.
    """

    size: float = 9e9
    opens: set[bool] = field(default_factory=set)

    def or_else(self, size: float, said: Verdict, aspect: Aspect) -> None:
        """Another change that turns it, so far away."""
        if size < self.size - SAME:
            self.size, self.opens = size, set()
        if size < self.size + SAME:
            self.opens.add(aspect is Aspect.VALUE and said.value_open)


def found_by_search(case: Case, changed: Sequence[Other] = (), steps: Steps = COARSE) -> dict[Key, Flip]:
    """The search's flips by pair, aspect, lever and name."""
    found = flips(case, changed, steps=steps)
    return {(f.a, f.b, f.aspect, f.moves[0].lever, f.moves[0].name): f for f in found}


def aspects(said: Verdict) -> dict[Aspect, object]:
    """What each aspect of a verdict says."""
    order = (said.ratio > 1) - (said.ratio < 1)
    money = {} if said.value is Value.UNKNOWN else {Aspect.VALUE: said.value}
    return {Aspect.ORDER: order, Aspect.OUTCOME: said.outcome, **money}


def tried_one_by_one(as_is: Tried, steps: Steps = COARSE) -> dict[Key, Nearest]:
    """The same by a whole verdict after every single change: the smallest that turns."""
    base = {(v.a, v.b): aspects(v) for v in verdicts(as_is.case)}
    smallest: dict[Key, Nearest] = {}
    for changed in every_change(as_is, steps):
        ((lever, name, size),) = changed.moves
        for said in verdicts(changed.case):
            was, becomes = base[said.a, said.b], aspects(said)
            for aspect in was:
                if becomes[aspect] != was[aspect]:
                    key = (said.a, said.b, aspect, lever, name)
                    smallest.setdefault(key, Nearest()).or_else(size, said, aspect)
    return smallest


def study_numbered(seed: int) -> Tried:
    """A random study with prices and two runs that were left out.

    By its number also a test that is weighed by itself, lows, and a price that is weighed itself.
    """
    cells, tests = random_study(seed)
    setups = tuple(dict.fromkeys(c.setup for c in cells))
    single, lows, priced = ({tests[0].key: 1.0 + seed % 2} if seed % 2 else {}), seed % 3 == 1, seed % 4 >= 2
    groups: dict[str, float] = {"games": 1 + seed % 4, "work": 2}
    if single and sum(t.group == "games" for t in tests) < 2:
        groups = {"work": 2}
    properties = {Property.SPEED: 0.7, Property.PRICE: 0.3} if priced else {Property.SPEED: 1.0}
    audience = Audience(
        key="x", name="X", groups=groups, tests=single, properties=properties, fixed_minor=5000 * (seed % 3)
    )
    prices = {s: 90000 + 1300 * ((seed * 7 + 11 * i) % 17) for i, s in enumerate(setups)}
    left = [_left_out(cells[0], "odd", 0.7), _left_out(cells[len(tests) + 1], "strange", 1.2)]
    if lows:
        cells = (*cells, *(_low(c, seed + i) for i, c in enumerate(cells) if c.group == "games"))
    case = case_of(audience, cells, tests=tests, prices=prices)
    return Tried(case=case, cells=cells, left=tuple(left))


def _left_out(cell: Cell, run: str, times: float) -> LeftOutRun:
    odd = Observation(run=run, value=cell.observations[0].value * times, boot="b0", order=90)
    return LeftOutRun(test=cell.test, setup=cell.setup, metric=cell.metric, observation=odd)


def _low(cell: Cell, seed: int) -> Cell:
    """Lows beside a cell, some per cent otherwise from machine to machine."""
    times = 0.6 + 0.05 * (seed * 5 % 7) / 7
    seen = tuple(replace(o, value=o.value * times) for o in cell.observations)
    return replace(cell, metric=LOW_METRIC, headline=False, observations=seen)


def agree(seed: int) -> bool:
    """Whether search and trying everything find the same flips of one random study, to the last digit."""
    now = study_numbered(seed)
    changed = others(now.cells, now.left, study=now.case.study, properties=SPEED)
    found = {key: (flip.size, flip) for key, flip in found_by_search(now.case, changed).items()}
    return _alike(found, tried_one_by_one(now))


def agree_on_two(seed: int) -> bool:
    """The same for two changes together."""
    return _alike(*two_of(study_numbered(seed)))


def two_of(now: Tried) -> tuple[dict[JointKey, Found], dict[JointKey, Nearest]]:
    """What the search for two changes finds, and what trying everything does."""
    changed = others(now.cells, now.left, study=now.case.study, properties=SPEED)
    return joint_by_search(now.case, changed), joint_tried_one_by_one(now)


def _alike(found: Mapping[K, Found], tried: Mapping[K, Nearest]) -> bool:
    """Whether both turn the same, equally far, into a value that is shown to be level or is not."""
    return found.keys() == tried.keys() and all(
        abs(size - tried[key].size) < SAME and flip.becomes_open in tried[key].opens
        for key, (size, flip) in found.items()
    )


def joint_by_search(case: Case, changed: Sequence[Other]) -> dict[JointKey, Found]:
    """The search's joint flips: how much of each alone, by pair, aspect and what is moved."""
    alone = flips(case, changed, steps=ROUGH)
    twice = pairs_of(changed, study=case.study)
    found = joint_flips(case, changed, alone, two_others=twice, steps=ROUGH)
    return {(f.a, f.b, f.aspect, frozenset((m.lever, m.name) for m in f.moves)): (f.share, f) for f in found}


def joint_tried_one_by_one(as_is: Tried) -> dict[JointKey, Nearest]:
    """The same by a whole verdict after every two changes."""
    base = {(v.a, v.b): aspects(v) for v in verdicts(as_is.case)}
    alone = {key: nearest.size for key, nearest in tried_one_by_one(as_is, ROUGH).items()}
    most = {Lever.PRICE: ROUGH.price_most, Lever.MARGIN: ROUGH.margin_most / as_is.case.study.margin}
    smallest: dict[JointKey, Nearest] = {}
    for changed in every_two(as_is, ROUGH):
        names = frozenset((lever, name) for lever, name, _ in changed.moves)
        for said in verdicts(changed.case):
            for aspect, was in base[said.a, said.b].items():
                place = (said.a, said.b, aspect)
                share = _share(place, changed.moves, alone, most)
                if share is not None and aspects(said)[aspect] != was:
                    key = (*place, names)
                    smallest.setdefault(key, Nearest()).or_else(share, said, aspect)
    return smallest


def _share(
    place: tuple[str, str, Aspect], moves: Sequence[tuple[Lever, str, float]], alone: Mapping[Key, float],
    most: Mapping[Lever, float],
) -> float | None:  # fmt: skip
    """How much of what each would need alone; None where one is enough by itself."""
    found = []
    for lever, name, size in moves:
        needed = alone.get((*place, lever, name))
        if lever in (Lever.TITLE, Lever.RUN, Lever.METRIC):
            if needed is not None:
                return None
            continue
        found.append(size / (most.get(lever, 1.0) if needed is None else needed))
    share = max(found, default=1.0)
    return share if share < 1.0 or not found else None


def main() -> None:
    """Print how many random studies agree, and how many flips of which kind were held against each other."""
    asked = argparse.ArgumentParser(description=__doc__)
    asked.add_argument("--studies", type=int, default=200)
    asked.add_argument("--first", type=int, default=0)
    given = asked.parse_args()
    numbers = range(given.first, given.first + given.studies)
    unlike = [seed for seed in numbers if not agree(seed)]
    _tell("one change", len(numbers), unlike)
    joint = {seed: two_of(study_numbered(seed)) for seed in numbers}
    _tell("two changes", len(numbers), [seed for seed, sides in joint.items() if not _alike(*sides)])
    every = [key for found, _ in joint.values() for key in found]
    opened = sum(flip.becomes_open for found, _ in joint.values() for _, flip in found.values())
    for what, fits in (("all", bool), ("two weights", _two_weights), ("a weighed price", _weighed_price)):
        count = sum(map(fits, every))
        print(f"  flips by two changes, {what}: {count}")
    print(f"  of all, into a value that is not shown to be level: {opened}")


def _two_weights(key: JointKey) -> bool:
    return all(lever is Lever.WEIGHT for lever, _ in key[3])


def _weighed_price(key: JointKey) -> bool:
    return key[2] is not Aspect.VALUE and any(lever is Lever.PRICE for lever, _ in key[3])


def _tell(what: str, studies: int, unlike: Sequence[int]) -> None:
    same = studies - len(unlike)
    print(f"{what}: {same} of {studies} studies: search and trying everything find the same")
    if unlike:
        print(f"  not the same: {', '.join(map(str, unlike))}")


if __name__ == "__main__":
    main()
