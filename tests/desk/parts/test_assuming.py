"""What is assumed of power, changed for a workbench."""

from __future__ import annotations

import pytest
from tests.desk.money.small_market import STUDY, lay_market
from tests.desk.small_folder import NOW

from evenhand.desk.parts.assuming import (
    change_terms,
    changed_words,
    drafted_terms,
    taken_by,
    terms_by,
    terms_done,
    undo_terms,
)
from evenhand.desk.parts.fitting import fittings_named
from evenhand.errors import BadRecord, NotFound, Overtaken
from evenhand.fit.power import assumed
from evenhand.fit.power_terms import terms_of, with_terms
from evenhand.store import power_terms
from evenhand.store.workbench import Workbench


def drawn(wb: Workbench) -> list[float | None]:
    """What Wren draws by the length of time, long first."""
    found = next(each for each in fittings_named(wb, STUDY) if each.build.key == "wren")
    assert found.budget is not None
    return [each.drawn_w for each in found.budget.over]


def test_what_is_changed_counts_and_is_told(stocked: Workbench) -> None:
    lay_market(stocked)
    before = drawn(stocked)
    assert changed_words(stocked) == ""
    change_terms(stocked, {"rest.board": "55 W", "draws.graphics.0.1": "2,5"}, now=NOW)
    after = drawn(stocked)
    assert [b - a for a, b in zip(before, after, strict=True)] == pytest.approx(
        [15, 15 + 0.5 * float(graphics_w(stocked)), 15, 15, 15]
    )
    told = changed_words(stocked).replace("\u00a0", " ")
    assert "board, each: 55 W (usually 40 W)" in told
    assert "graphics draws for 0.1 ms: 2.5 times (usually 2 times)" in told


def graphics_w(wb: Workbench) -> float:
    found = next(each for each in fittings_named(wb, STUDY) if each.build.key == "wren")
    return next(item.facts["power_w"] for item in found.items if item.kind == "graphics")


def test_an_empty_field_takes_the_usual_again_and_every_state_stays(stocked: Workbench) -> None:
    change_terms(stocked, {"supply.lost_a_year": "2", "supply.old_years": "5"}, now=NOW)
    assert (taken_by(stocked).lost_a_year, taken_by(stocked).old_years) == (0.02, 5)
    change_terms(stocked, {each.name: f"{each.value:.12g}" for each in terms_by(stocked)}, now=NOW)
    change_terms(stocked, {"supply.lost_a_year": "", "supply.old_years": "10 years"}, now=NOW)
    assert taken_by(stocked) == assumed()
    with stocked.reading() as conn:
        assert conn.execute("SELECT count(*) FROM power_terms").fetchone()[0] == 2
    assert power_terms.terms_now(stocked) == {}


@pytest.mark.parametrize("text", ["much", "-1", "1001", "nan"])
def test_what_cannot_be_is_refused_and_nothing_is_changed(stocked: Workbench, text: str) -> None:
    with pytest.raises(BadRecord, match="cannot stand there"):
        change_terms(stocked, {"rest.memory": "9", "rest.board": text}, now=NOW)
    with pytest.raises(NotFound):
        change_terms(stocked, {"rest.bord": "40"}, now=NOW)
    assert taken_by(stocked) == assumed()


def test_no_part_can_be_assumed_to_draw_less_for_short_than_for_long(stocked: Workbench) -> None:
    with pytest.raises(BadRecord, match="cannot stand there"):
        change_terms(stocked, {"draws.graphics.0.1": "0.5"}, now=NOW)
    change_terms(stocked, {"draws.graphics.0.1": "1"}, now=NOW)
    assert taken_by(stocked).draws["graphics"][0.1] == 1


def test_every_number_that_is_assumed_has_a_name_and_counts() -> None:
    usual = terms_of(assumed())
    assert len(usual) == 5 + 2 + 8 + 4
    for name, term in usual.items():
        changed = terms_of(with_terms(assumed(), {name: term.value + 1}))
        assert {each for each in usual if changed[each].value != usual[each].value} == {name}


def test_every_mistake_is_told_at_its_number(stocked: Workbench) -> None:
    draft = drafted_terms(stocked, {"rest.board": "much", "rest.memory": "9", "bears.0.1": "0"})
    assert [each.field for each in draft.problems] == ["rest.board", "bears.0.1"]
    assert draft.changed == {"rest.memory": 9}


def test_a_change_is_undone_and_so_is_that(stocked: Workbench) -> None:
    change_terms(stocked, {"rest.board": "55"}, now=NOW)
    second = change_terms(stocked, {"rest.board": "60", "supply.old_years": "5"}, now=NOW)
    words, last = terms_done(stocked, second)
    assert last
    assert "board, each: 60 W (before: 55 W)" in words.replace("\u00a0", " ")
    third = undo_terms(stocked, second, now=NOW)
    assert (taken_by(stocked).rest_w["board"], taken_by(stocked).old_years) == (55, assumed().old_years)
    assert not terms_done(stocked, second)[1]
    undo_terms(stocked, third, now=NOW)
    assert (taken_by(stocked).rest_w["board"], taken_by(stocked).old_years) == (60, 5)


def test_the_first_change_is_undone_to_the_usual_numbers(stocked: Workbench) -> None:
    undo_terms(stocked, change_terms(stocked, {"rest.board": "55"}, now=NOW), now=NOW)
    assert taken_by(stocked) == assumed()
    assert change_terms(stocked, {"rest.board": "40"}, now=NOW) == 0, "nothing is otherwise"


def test_what_was_changed_again_since_is_not_undone(stocked: Workbench) -> None:
    first = change_terms(stocked, {"rest.board": "55"}, now=NOW)
    change_terms(stocked, {"rest.board": "56"}, now=NOW)
    with pytest.raises(Overtaken):
        undo_terms(stocked, first, now=NOW)
    with pytest.raises(NotFound):
        undo_terms(stocked, 77, now=NOW)
    assert taken_by(stocked).rest_w["board"] == 56
