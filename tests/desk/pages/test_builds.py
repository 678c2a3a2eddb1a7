"""What the page of builds says: in what they differ, what is alike, and what nobody knows."""

from __future__ import annotations

from typing import Any

from tests.desk.small_folder import NOW

from evenhand.desk.opening import Desk
from evenhand.desk.pages.builds import builds_page
from evenhand.desk.study.briefing import start_study
from evenhand.desk.study.building import NamedPart, add_build, add_setup

K6, K7 = (NamedPart(kind="processor", name=name) for name in ("Brellow K6", "Brellow K7"))
CASE = NamedPart(kind="case", name="Osk Crate")


def put(wb: Desk, study: str, name: str, slot: int, parts: list[NamedPart], **setup: Any) -> None:
    add_build(wb, study, {"name": name, "slot": slot, "parts": parts}, setup=setup, now=NOW)


def test_it_says_what_to_do_first(wb: Desk) -> None:
    key = start_study(wb, {"title": "Desks"}, now=NOW).key
    assert builds_page(wb, key).answer == "No build is in the study yet. Begin with the first machine."
    put(wb, key, "Wren", 1, [])
    assert builds_page(wb, key).answer == "One build, one setup. A comparison needs a second one."


def test_what_differs_what_is_alike_and_what_nobody_knows(wb: Desk) -> None:
    key = start_study(wb, {"title": "Desks"}, now=NOW).key
    put(wb, key, "Wren", 1, [K6, CASE], stamps={"driver": "31.4", "os": "Tern 9"})
    put(wb, key, "Plover", 2, [K7], stamps={"driver": "31.4"})
    page = builds_page(wb, key)
    assert page.answer == "Two builds, one setup each; they differ in processor."
    assert page.alike == "Alike in all: driver. Not on record for all: case and os."
    rows = {row.what: (row.values, row.differs, row.unknown) for row in page.rows}
    assert rows["case"] == (("Osk Crate", "not on record"), False, True)


def test_builds_of_one_make_do_not_differ(wb: Desk) -> None:
    key = start_study(wb, {"title": "Desks"}, now=NOW).key
    for name, slot in (("Wren", 1), ("Plover", 2)):
        put(wb, key, name, slot, [K6])
    assert builds_page(wb, key).answer == "Two builds, one setup each; no difference is on record."


def test_setups_of_one_build_may_differ_in_their_state(wb: Desk) -> None:
    key = start_study(wb, {"title": "Desks"}, now=NOW).key
    put(wb, key, "Wren", 1, [K6])
    add_setup(wb, key, {"build": "wren", "state": "mild tune"}, now=NOW)
    page = builds_page(wb, key)
    assert page.answer == "One build, two setups in all; they differ in state."
    assert page.heads == (("Wren, stock", 1), ("Wren, mild tune", 2))
    assert page.free == (2, 3, 4, 5)
