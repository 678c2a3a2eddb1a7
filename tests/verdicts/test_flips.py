"""What turns a verdict: the search finds what trying everything finds, and the demo's planted flips."""

from dataclasses import replace

import pytest
from validation.flips import agree, agree_on_two, found_by_search
from validation.workshops import MOSTLY_PLAY, PRICES, SPEED, case_of, saltmarsh_cells

from evenhand.findings.finding import Outcome
from evenhand.records.audiences import Property
from evenhand.verdicts import joint_steps
from evenhand.verdicts.flips import flips
from evenhand.verdicts.joint_flips import joint_flips
from evenhand.verdicts.moves import Aspect, Flip, Lever, Steps
from evenhand.verdicts.others import others
from evenhand.verdicts.verdict import verdicts


@pytest.mark.parametrize("seed", range(6))
def test_the_search_finds_what_trying_everything_finds(seed: int) -> None:
    """All 200 studies: `python -m validation.flips`."""
    assert agree(seed)


@pytest.mark.parametrize("seed", [1, 6, 9, 11])
def test_so_does_the_search_for_two_changes_together(seed: int) -> None:
    """With a test weighed by itself (9), lows besides (1), the price weighed (6), and a test too (11)."""
    assert agree_on_two(seed)


@pytest.mark.parametrize(("margin", "opened"), [(0.03, False), (0.003, True)])
def test_a_value_that_a_price_levels_is_open_where_its_worth_reaches_beyond_the_margin(margin, opened):
    case = case_of(MOSTLY_PLAY, saltmarsh_cells(), prices=PRICES, margin=margin)
    found = found_by_search(case, steps=Steps())
    flip = found["plover", "dunlin", Aspect.VALUE, Lever.PRICE, "plover"]
    assert (flip.was, flip.becomes) == (1, 0)
    assert (flip.was_open, flip.becomes_open) == (False, opened)


def test_a_flip_tells_whether_its_value_was_shown_to_be_level():
    prices = {**PRICES, "plover": round(PRICES["dunlin"] * 1026 / 1012)}
    case = case_of(MOSTLY_PLAY, saltmarsh_cells(), prices=prices, margin=0.003)
    was = {(v.a, v.b): v.value_open for v in verdicts(case)}
    by_value = [flip for flip in flips(case, steps=Steps()) if flip.aspect is Aspect.VALUE]
    assert any(was.values())
    assert not all(was.values())
    assert all(flip.was_open is was[flip.a, flip.b] for flip in by_value)


def test_a_margin_that_only_shows_equal_value_to_be_level_is_no_flip():
    """Which is why "nothing changes" is said of who is ahead or better value, and of no more."""
    prices = {**PRICES, "plover": round(PRICES["dunlin"] * 1026 / 1012)}
    narrow, wide = (
        case_of(MOSTLY_PLAY, saltmarsh_cells(), prices=prices, margin=margin) for margin in (0.003, 0.03)
    )
    said = [next(v for v in verdicts(c) if (v.a, v.b) == ("plover", "dunlin")) for c in (narrow, wide)]
    assert [v.value_open for v in said] == [True, False]
    assert said[0].value is said[1].value
    moved = {flip.aspect for flip in flips(narrow, steps=Steps()) if flip.moves[0].lever is Lever.MARGIN}
    assert Aspect.VALUE not in moved


# --- what was planted in the workshop


def planted(lever: Lever, aspect: Aspect, name: str = "") -> Flip:
    case = case_of(MOSTLY_PLAY, saltmarsh_cells(), prices=PRICES)
    return found_by_search(case, steps=Steps())["plover", "dunlin", aspect, lever, name]


def test_the_order_turns_at_57_percent_play() -> None:
    flip = planted(Lever.WEIGHT, Aspect.ORDER, "games")
    assert round(flip.moves[0].after or 0, 2) == 0.57
    assert flip.becomes == -1


def test_the_money_turns_where_the_break_even_band_begins() -> None:
    case = case_of(MOSTLY_PLAY, saltmarsh_cells(), prices=PRICES)
    even = next(v.break_even for v in verdicts(case) if (v.a, v.b) == ("plover", "dunlin"))
    flip = planted(Lever.PRICE, Aspect.VALUE, "plover")
    assert even is not None
    assert even.low is not None
    assert 0 <= (flip.moves[0].after or 0) - even.low < 1


def test_a_single_title_turns_the_order() -> None:
    assert planted(Lever.TITLE, Aspect.ORDER, "regatta").becomes == -1
    assert planted(Lever.TITLE, Aspect.ORDER, "causeway").becomes == -1


def test_leaving_out_the_title_that_leans_the_other_way_makes_it_a_lead() -> None:
    flip = planted(Lever.TITLE, Aspect.OUTCOME, "tramlines")
    assert (flip.was, flip.becomes) == (0, 1)


def test_by_another_definition_a_level_pair_may_be_none() -> None:
    """Each game also has its 1% low; here Plover's are worse than its averages."""
    cells = saltmarsh_cells()
    lows = [
        replace(
            c, metric="low_1pct", headline=False,
            observations=tuple(
                replace(o, value=o.value * (0.6 if c.setup == "plover" else 0.7)) for o in c.observations
            ),
        )
        for c in cells
        if c.group == "games"
    ]  # fmt: skip
    every = (*cells, *lows)
    case = case_of(MOSTLY_PLAY, every, prices=PRICES)
    changed = others(every, [], study=case.study, properties=SPEED)
    found = found_by_search(case, changed, Steps())
    flip = found["plover", "dunlin", Aspect.OUTCOME, Lever.METRIC, ""]
    assert (flip.becomes, flip.moves[0].metric) == (-1, "low_1pct")
    assert found["plover", "dunlin", Aspect.ORDER, Lever.METRIC, "causeway"].becomes == -1


def test_without_prices_no_flip_is_about_money() -> None:
    found = flips(case_of(MOSTLY_PLAY, saltmarsh_cells()))
    assert {f.aspect for f in found} == {Aspect.ORDER, Aspect.OUTCOME}
    assert all(f.moves[0].lever is not Lever.PRICE for f in found)


@pytest.mark.parametrize("properties", [{Property.SPEED: 1}, {Property.SPEED: 1, Property.PRICE: 1}])
def test_a_price_of_one_smallest_unit_has_no_step_to_go(properties: dict[Property, float]) -> None:
    audience = replace(MOSTLY_PLAY, properties=properties)
    case = case_of(audience, saltmarsh_cells(), prices=dict.fromkeys(PRICES, 1))
    alone = flips(case)
    assert not [f for f in (*alone, *joint_flips(case, (), alone)) for m in f.moves if m.lever is Lever.PRICE]


def test_two_prices_are_found_between_those_that_were_tried(monkeypatch: pytest.MonkeyPatch) -> None:
    """For value: trying every rung of the first one finds the same."""
    case = case_of(MOSTLY_PLAY, saltmarsh_cells(), prices=PRICES)
    alone = flips(case)
    found = joint_flips(case, (), alone)
    monkeypatch.setattr(joint_steps, "BLOCK", 1)
    assert joint_flips(case, (), alone) == found
    assert any(all(m.lever is Lever.PRICE for m in f.moves) for f in found)


def test_the_smallest_comes_first() -> None:
    sizes = [f.size for f in flips(case_of(MOSTLY_PLAY, saltmarsh_cells(), prices=PRICES))]
    assert sizes == sorted(sizes)


def test_an_unsettled_pair_may_be_settled_by_a_wider_margin() -> None:
    case = case_of(MOSTLY_PLAY, saltmarsh_cells(), prices=PRICES, margin=0.005)
    said = next(v for v in verdicts(case) if (v.a, v.b) == ("plover", "dunlin"))
    assert said.outcome is Outcome.AHEAD
    flip = found_by_search(case, steps=Steps())["plover", "dunlin", Aspect.OUTCOME, Lever.MARGIN, ""]
    assert flip.becomes == 0
    assert (flip.moves[0].after or 0) > 0.014


def test_two_changes_together_need_less_of_each() -> None:
    """Plover's price and the hours of play: neither alone goes so little a way."""
    case = case_of(MOSTLY_PLAY, saltmarsh_cells(), prices=PRICES)
    alone = flips(case)
    found = joint_flips(case, (), alone)
    flip = next(
        f for f in found
        if (f.a, f.b) == ("plover", "dunlin") and [m.name for m in f.moves] == ["plover", "games"]
    )  # fmt: skip
    assert flip.share < 0.7
    price, weight = flip.moves
    assert price.size < planted(Lever.PRICE, Aspect.VALUE, "plover").size
    assert weight.size < planted(Lever.WEIGHT, Aspect.VALUE, "games").size
    both = replace(
        case, prices={**PRICES, "plover": int(price.after or 0)},
        audience=replace(MOSTLY_PLAY, groups={"games": weight.after or 0, "work": 1 - (weight.after or 0)}),
    )  # fmt: skip
    was, becomes = (
        next(v.value for v in verdicts(each) if (v.a, v.b) == ("plover", "dunlin")) for each in (case, both)
    )
    assert was is not becomes
