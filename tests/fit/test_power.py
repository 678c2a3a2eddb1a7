"""The power budget, for long and for short."""

from __future__ import annotations

from dataclasses import replace
from random import Random
from typing import Any

import pytest
from tests.fit.parts import part

from evenhand.fit.answers import Answer
from evenhand.fit.power import LASTING, Budget, assumed, budget
from evenhand.fit.reading import Item

BY_MS = ("0.1", "1", "10", "100")
FITS, MISFIT, UNKNOWN = Answer.FITS, Answer.MISFIT, Answer.UNKNOWN
PROCESSOR, CARD = part("processor", power_w=120), part("graphics", power_w=300)
REST = (part("board"), part("memory"), part("storage"))  # 56 W are assumed for them


def told(*build: Item, **more: Any) -> Budget:
    found = budget((PROCESSOR, CARD, *REST, *build), **more)
    assert found is not None
    return found


def supply(power: float | None = 650, *, years: float | None = 0, **facts: Any) -> Item:
    """A supply, new unless another age is said; None for what nobody knows."""
    known = {"power_w": power, "years": years}
    return part("supply", **{key: value for key, value in known.items() if value is not None}, **facts)


def test_for_long_the_lasting_powers_and_an_assumed_rest_add_up() -> None:
    found = told(supply(650))
    assert (found.rest_w, found.over[0].ms, found.over[0].drawn_w, found.over[0].left_w) == (
        56,
        LASTING,
        476,
        174,
    )


@pytest.mark.parametrize(("power", "answer"), [(476, FITS), (475, MISFIT), (None, UNKNOWN)])
def test_for_long_a_supply_bears_its_rating(power: float | None, answer: Answer) -> None:
    assert told(supply(power)).over[0].answer is answer


@pytest.mark.parametrize(
    ("made", "answers"),
    [
        (True, [FITS, FITS, FITS, FITS, FITS]),
        (None, [FITS, UNKNOWN, UNKNOWN, UNKNOWN, FITS]),
        (False, [FITS, UNKNOWN, UNKNOWN, UNKNOWN, FITS]),
    ],
)
def test_for_short_only_a_supply_that_is_made_for_it_bears_more(
    made: bool | None, answers: list[Answer]
) -> None:
    facts = {} if made is None else {"excursions": made}
    found = told(supply(600, **facts))
    assert [each.ms for each in found.over] == [LASTING, 0.1, 1, 10, 100]
    assert [each.drawn_w for each in found.over] == pytest.approx([476, 836, 764, 692, 566])
    assert [each.answer for each in found.over] == answers
    assert [each.fact.key for each in found.missing] == (["excursions"] if made is None else [])


def test_an_excursion_beyond_what_is_promised_is_a_misfit() -> None:
    found = told(supply(480, excursions=True), part("graphics", "second", power_w=0), part("fans"))
    assert found.over[0].answer is MISFIT  # two watts for long
    short = told(supply(560, excursions=True), taken=replace(assumed(), bears={1.0: 1.2}))
    assert [each.answer for each in short.over] == [FITS, MISFIT]


def test_a_supply_loses_with_age_and_its_own_short_power_counts_for_a_processor() -> None:
    assert told(supply(500, years=5)).over[0].borne_w == pytest.approx(475)
    found = budget((part("processor", power_w=120, power_short_w=240, own_graphics=True), supply(300)))
    assert found is not None
    assert [each.drawn_w for each in found.over] == [120, 240, 240, 240, 240]


def test_what_was_measured_counts_where_it_is_more() -> None:
    assert told(supply(650), measured_w=520).over[0].drawn_w == 520
    assert told(supply(650), measured_w=300).over[0].drawn_w == 476


def test_a_part_that_says_nothing_leaves_it_unknown_and_is_named() -> None:
    found = budget((PROCESSOR, part("graphics"), supply(650)))
    assert found is not None
    assert found.answer is UNKNOWN
    assert ("graphics", "power_w") in [(each.part.kind, each.fact.key) for each in found.missing]


def test_without_a_supply_there_is_no_budget() -> None:
    assert budget((PROCESSOR, CARD)) is None


def test_what_is_known_of_a_part_by_the_millisecond_goes_before_what_is_assumed() -> None:
    calm = replace(CARD, facts={**CARD.facts, "short_times": {"0.1": 1.5, "10": 1.1}})
    found = budget((PROCESSOR, calm, *REST, supply(600)))
    assert found is not None
    assert [each.drawn_w for each in found.over] == pytest.approx([476, 686, 764, 542, 566])


def test_for_short_nothing_draws_less_than_for_long_whatever_is_noted_or_assumed() -> None:
    calm = replace(CARD, facts={**CARD.facts, "short_times": dict.fromkeys(BY_MS, 0.5)})
    halves = {kind: dict.fromkeys(shares, 0.5) for kind, shares in assumed().draws.items()}
    found = budget((PROCESSOR, calm, *REST, supply(470)), taken=replace(assumed(), draws=halves))
    assert found is not None
    assert [each.drawn_w for each in found.over] == [476] * 5
    assert FITS not in [each.answer for each in found.over]


def test_a_supply_that_says_what_it_bears_for_so_long_can_be_told_to_fail() -> None:
    found = told(supply(600, bears_times={"0.1": 1.3, "1": 1.3}))
    assert [each.borne_w for each in found.over] == pytest.approx([600, 780, 780, 600, 600])
    assert [each.answer for each in found.over] == [FITS, MISFIT, FITS, UNKNOWN, FITS]


def test_what_two_supplies_bear_together_is_not_known() -> None:
    found = told(supply(400, excursions=True), supply(400, excursions=True))
    assert (found.answer, found.supplies, found.missing) == (UNKNOWN, 2, ())
    assert {each.borne_w for each in found.over} == {None}


OWN = {"power_w": 65}


@pytest.mark.parametrize(
    ("build", "lacking", "drawn_w"),
    [
        ((), ("processor", "graphics"), None),
        ((CARD,), ("processor",), None),
        ((PROCESSOR,), ("graphics",), None),
        ((part("processor", own_graphics=False, **OWN),), ("graphics",), None),
        ((part("processor", own_graphics=True, **OWN),), (), 65),
        ((PROCESSOR, CARD), (), 420),
    ],
)
def test_without_what_draws_the_most_on_record_nothing_fits(
    build: tuple[Item, ...], lacking: tuple[str, ...], drawn_w: float | None
) -> None:
    found = budget((*build, supply(900)))
    assert found is not None
    assert (found.lacking, found.over[0].drawn_w) == (lacking, drawn_w)
    assert {each.answer for each in found.over} == {UNKNOWN if lacking else FITS}
    asked = ("processor", "own_graphics") in [(each.part.kind, each.fact.key) for each in found.missing]
    assert asked is (build == (PROCESSOR,))


def test_what_is_known_to_be_too_much_fails_whatever_else_is_drawn() -> None:
    found = budget((part("graphics", power_w=400), part("graphics", "other"), supply(350)))
    assert found is not None
    assert [each.answer for each in found.over] == [MISFIT] + [UNKNOWN] * 4
    assert (found.over[0].drawn_w, found.over[0].whole) == (400, False)


@pytest.mark.parametrize(
    ("power", "answer", "borne_w", "asked"),
    [
        (900, FITS, 810, False),  # 780 W for 0.1 ms, and 10 % are lost in ten years
        (860, UNKNOWN, 774, True),
        (419, MISFIT, 419, False),
    ],
)
def test_a_supply_of_unknown_age_fits_where_it_would_if_old_and_fails_where_it_would_if_new(
    power: float, answer: Answer, borne_w: float, asked: bool
) -> None:
    found = budget((PROCESSOR, CARD, supply(power, years=None, bears_times=dict.fromkeys(BY_MS, 1))))
    assert found is not None
    assert (found.answer, found.over[0].borne_w) == (answer, pytest.approx(borne_w))
    assert ("years" in [each.fact.key for each in found.missing]) is asked
    assert found.old_years == 10


@pytest.mark.parametrize("build", range(40))
def test_forgetting_makes_no_budget_surer(build: int) -> None:
    rng = Random(build)
    whole = [
        part("processor", power_w=rng.choice([65, 120]), own_graphics=rng.random() < 0.5),
        *([part("graphics", power_w=rng.choice([170, 300]))] if rng.random() < 0.7 else []),
        supply(
            rng.choice([120, 300, 450, 650, 900]), years=rng.choice([0, 5, 10]), excursions=rng.random() < 0.5
        ),
    ]
    known = budget(whole)
    less = budget(
        [replace(each, facts={k: v for k, v in each.facts.items() if rng.random() < 0.6}) for each in whole]
    )
    assert known is not None
    assert less is not None
    assert less.answer in {known.answer, UNKNOWN}
