"""The best parts for a budget, held against trying every choice."""

from __future__ import annotations

from dataclasses import replace
from functools import partial
from itertools import combinations, product
from random import Random

import pytest

from evenhand.money.choosing import NoTime, best, worth
from evenhand.money.further import frontier, ties
from evenhand.money.shelves import Candidate, Chosen, Shelf, Terms

KINDS = ("processor", "board", "graphics", "supply")


def catalogue(rng: Random, *, each: int = 4) -> Shelf:
    """So many parts of each kind at random, a fifth of all pairs barred by one of two rules or unknown."""
    made = []
    for kind in KINDS:
        for n in range(each):
            watts = -float(rng.randint(300, 700)) if kind == "supply" else float(rng.randint(20, 250))
            score = 0.0 if kind == "supply" else rng.choice((0.1, 0.2, 0.3, rng.random()))
            made.append(
                Candidate(
                    key=f"{kind}-{n}",
                    kind=kind,
                    minor=rng.randint(40, 400),
                    score=score,
                    uses={"watts": watts},
                )
            )
    pairs = [frozenset((a.key, b.key)) for a, b in combinations(made, 2) if a.kind != b.kind]
    barred = rng.sample(pairs, len(pairs) // 5)
    third = len(barred) // 3
    return Shelf(
        candidates=tuple(made), kinds=KINDS, unsure=frozenset(barred[:third]),
        misfits={"socket": frozenset(barred[third : 2 * third]), "format": frozenset(barred[2 * third :])},
    )  # fmt: skip


def every_choice(shelf: Shelf, terms: Terms) -> list[Chosen]:
    """All choices that keep to the terms, the best first."""
    found = []
    for own in product(*([shelf.candidates[i] for i in shelf.of_kind[kind]] for kind in shelf.kinds)):
        keys = [each.key for each in own]
        used = {name: sum(each.uses.get(name, 0.0) for each in own) for name in terms.limits}
        fits = not any(frozenset(pair) in shelf.barred for pair in combinations(keys, 2))
        minor = sum(each.minor for each in own)
        if (
            fits
            and minor <= terms.budget_minor
            and all(used[name] <= limit for name, limit in terms.limits.items())
        ):
            found.append(Chosen(parts=tuple(keys), minor=minor, score=sum(each.score for each in own)))
    return sorted(found, key=lambda each: -worth(each, terms))


def terms_of(rng: Random) -> Terms:
    return Terms(budget_minor=rng.randint(300, 1100), limits={"watts": 0.0})


@pytest.mark.parametrize("seed", range(200))
def test_it_is_what_trying_every_choice_finds(seed: int) -> None:
    rng = Random(seed)
    shelf, terms = catalogue(rng), terms_of(rng)
    found, tried = best(shelf, terms), every_choice(shelf, terms)
    if not tried:
        assert found is None
        return
    assert found is not None
    assert worth(found, terms) == pytest.approx(worth(tried[0], terms), abs=1e-6)
    assert found.gap == 0.0
    assert found.parts in [each.parts for each in tried]


@pytest.mark.parametrize("seed", range(40))
def test_ties_are_the_best_and_every_cheaper_one_that_trying_finds_near_it(seed: int) -> None:
    rng = Random(1000 + seed)
    shelf, terms = catalogue(rng), replace(terms_of(rng), budget_minor=1000)
    wanted: list[Chosen] = []
    left = every_choice(shelf, terms)
    while left and left[0].score >= (wanted or left)[0].score - 0.05:
        wanted.append(left[0])
        cheaper = replace(terms, budget_minor=left[0].minor - 1)
        left = [one for one in every_choice(shelf, cheaper) if one.score >= wanted[0].score - 0.05]
    found = ties(partial(best, shelf), terms, within=0.05, most=50)
    assert [(each.minor, pytest.approx(each.score)) for each in found] == [(w.minor, w.score) for w in wanted]
    assert not any(
        one.minor <= other.minor and one.score >= other.score
        for one in found for other in found if one is not other
    )  # fmt: skip


def test_no_more_ties_are_looked_for_than_are_asked_for() -> None:
    shelf, terms = catalogue(Random(1003), each=6), Terms(budget_minor=1400, limits={"watts": 0.0})
    every = ties(partial(best, shelf), terms, within=3.0, most=50)
    assert len(every) > 3
    assert ties(partial(best, shelf), terms, within=3.0, most=3) == every[:3]


def test_a_frontier_finds_what_each_budget_by_itself_does() -> None:
    for seed in range(12):
        shelf, terms = catalogue(Random(seed)), Terms(budget_minor=0, limits={"watts": 0.0})
        for budget, found in frontier(partial(best, shelf), terms, range(300, 1300, 100)):
            alone = best(shelf, replace(terms, budget_minor=budget))
            own = replace(terms, budget_minor=budget)
            assert (found is None) == (alone is None)
            if found is not None and alone is not None:
                assert worth(found, own) == pytest.approx(worth(alone, own), abs=1e-7)


def test_a_frontier_never_falls_with_the_budget() -> None:
    shelf = catalogue(Random(3), each=8)
    terms = Terms(budget_minor=0, limits={"watts": 0.0})
    found = list(frontier(partial(best, shelf), terms, [900, 300, 600, 1200]))
    assert [budget for budget, _ in found] == [300, 600, 900, 1200]
    scores = [each.score if each else float("-inf") for _, each in found]
    assert scores == sorted(scores)


def test_time_that_runs_out_leaves_the_best_found_so_far_and_says_how_far_off_it_may_be() -> None:
    rng = Random(4)
    shelf, terms = catalogue(rng, each=20), Terms(budget_minor=700, limits={"watts": 0.0}, time_limit_s=600.0)
    whole = best(shelf, terms)
    assert whole is not None
    assert whole.gap == 0.0
    try:
        hasty = best(shelf, replace(terms, time_limit_s=1e-6))
    except NoTime:  # as quick as the machine is: nothing may have been found by then
        return
    assert hasty is not None
    assert hasty.gap > 0 or hasty.score == pytest.approx(whole.score)
