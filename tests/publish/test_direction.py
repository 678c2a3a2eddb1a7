"""A name written from right to left turns nothing round that stands beside it."""

from __future__ import annotations

import pytest

from evenhand.publish.direction import FIRST_STRONG, POP, in_elements, isolated
from evenhand.publish.names import Names, SetupName, TestName

HEBREW, ARABIC = "טרן 7", "طائر"


@pytest.mark.parametrize("name", [HEBREW, ARABIC, "Tern טרן", "٣", "Tern \u202e7"])
def test_what_turns_stands_by_itself(name: str) -> None:
    assert isolated(name) == f"{FIRST_STRONG}{name}{POP}"


@pytest.mark.parametrize("name", ["Plover", "Łódź 2", "Жук", "漢字 6", "", "Plover −3 %"])
def test_nothing_changes_for_names_from_left_to_right(name: str) -> None:
    assert isolated(name) == name


def test_a_name_cannot_leave_its_own_isolate() -> None:
    assert isolated(f"א{POP}{FIRST_STRONG}ב") == f"{FIRST_STRONG}אב{POP}"
    assert isolated(isolated(HEBREW)) == isolated(HEBREW)


def test_names_are_told_by_themselves_and_found_as_they_were_typed() -> None:
    names = Names(
        setups={"a": SetupName(name=ARABIC, slot=1)}, tests={"t": TestName(name=HEBREW)}, groups={"g": ARABIC}
    )
    assert names.setup("a") == isolated(ARABIC)
    assert names.test("t") == isolated(HEBREW)
    assert names.group("g") == isolated(ARABIC)
    typed = Names(setups=names.setups, tests=names.tests, as_typed=True)
    assert (typed.setup("a"), typed.test("t")) == (ARABIC, HEBREW)
    assert isolated(ARABIC) in names.drawn().told[0]


def test_a_page_has_an_element_where_one_may_stand_and_signs_elsewhere() -> None:
    name = isolated(HEBREW)
    drawing = f"<svg><svg/><svg><title>{name}</title></svg><text>{name}</text></svg>"
    page = f'<title>{name}</title><p aria-label="{name} &gt; 3">{name}: 998</p>{drawing}'
    told = in_elements(page)
    assert f'<p aria-label="{name} &gt; 3"><bdi>{HEBREW}</bdi>: 998</p>' in told
    assert told.count("<bdi>") == 1
    assert told.count(name) == 4
    assert in_elements("<p>Plover: 998</p>") == "<p>Plover: 998</p>"
