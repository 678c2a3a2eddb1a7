"""What a rig tells of its machine waits until somebody says which part it is, and overwrites nothing."""

from __future__ import annotations

import json
import sqlite3
from datetime import date, timedelta
from typing import Any

import pytest
from tests.desk.small_folder import NOW

from evenhand.desk.parts.catalogue import add_part
from evenhand.desk.parts.noting import note_facts
from evenhand.desk.parts.told_by_rigs import PartMet, say_part, take_in, told_by_rigs
from evenhand.errors import BadRecord, NotFound
from evenhand.records.builds import Build
from evenhand.store import shelves
from evenhand.store.inventories import inventories
from evenhand.store.part_facts import facts_of
from evenhand.store.upkeep import check
from evenhand.store.workbench import Workbench

TODAY = date(2031, 5, 4)
CARD = {
    "kind": "graphics",
    "name": "Harrowfen Lantern 40",
    "source": "/sys",
    "facts": {"lanes": 8, "outputs": ["DisplayPort", "HDMI"]},
}
DISC = {"kind": "storage", "name": "Slate 1 TB", "source": "/sys/block", "facts": {"capacity_gb": 1000}}
NO_BOARD = {"what": "board", "why": "its firmware does not name it"}


def tell(wb: Workbench, *parts: dict[str, Any], rig: str = "left", build: str | None = None) -> None:
    take_in(wb, rig, f"{rig} bench", build, parts=parts, untold=[NO_BOARD], now=NOW)


def say(wb: Workbench, at: int, part: str) -> tuple[str, ...]:
    (inventory,) = inventories(wb)
    return tuple(fact.fact for fact in say_part(wb, inventory.id, at, part, now=NOW, today=TODAY))


def met(wb: Workbench) -> tuple[PartMet, ...]:
    (found,) = told_by_rigs(wb)
    return found.parts


@pytest.fixture
def bench(wb: Workbench) -> Workbench:
    """A workbench with two cards, one of them in a build."""
    for name in ("Lantern 20", "Harrowfen Lantern 40"):
        add_part(wb, {"kind": "graphics", "name": name}, now=NOW)
    shelves.save(wb, Build(key="wren", name="Wren", slot=1, parts=("lantern-20",)), now=NOW)
    return wb


def known(wb: Workbench, part: str) -> dict[str, Any]:
    return {fact.fact: fact.value for fact in facts_of(wb, [part])}


def test_nothing_is_noted_before_somebody_says_which_part_it_is(bench: Workbench) -> None:
    tell(bench, CARD)
    (card,) = met(bench)
    assert not card.said
    assert card.part is not None
    assert card.part.key == "harrowfen-lantern-40", "its name says most"
    assert [fact.about.key for fact in card.facts if fact.new] == ["lanes", "outputs"]
    assert known(bench, "harrowfen-lantern-40") == {}


def test_a_part_of_the_rigs_own_build_is_likelier_than_one_of_the_same_name(bench: Workbench) -> None:
    tell(bench, CARD, build="wren")
    (card,) = met(bench)
    assert card.part is not None
    assert (card.part.key, [part.key for part in card.likely]) == (
        "lantern-20", ["lantern-20", "harrowfen-lantern-40"]
    )  # fmt: skip


def test_what_was_not_known_is_noted_with_rig_and_day(bench: Workbench) -> None:
    tell(bench, CARD)
    assert say(bench, 0, "harrowfen-lantern-40") == ("lanes", "outputs")
    lanes, outputs = facts_of(bench, ["harrowfen-lantern-40"])
    assert (lanes.value, outputs.value) == (8, ["DisplayPort", "HDMI"])
    assert lanes.source.startswith("read by the rig left bench on ")
    assert lanes.on == TODAY
    assert say(bench, 0, "harrowfen-lantern-40") == (), "said twice it is noted once"


def test_what_is_on_record_is_not_overwritten_and_the_other_is_shown(bench: Workbench) -> None:
    note_facts(bench, "harrowfen-lantern-40", {"lanes": "16", "outputs": "hdmi, Display Port"},
               source="the maker", on="", now=NOW, today=TODAY)  # fmt: skip
    tell(bench, CARD)
    assert say(bench, 0, "harrowfen-lantern-40") == ()
    (card,) = met(bench)
    by_key = {fact.about.key: fact for fact in card.facts}
    assert (by_key["lanes"].agrees, by_key["lanes"].new) == (False, False)
    assert by_key["outputs"].agrees, "the same words in another order and case"
    assert known(bench, "harrowfen-lantern-40")["lanes"] == 16


def test_what_was_looked_for_in_vain_is_noted_once_a_rig_tells_it(bench: Workbench) -> None:
    note_facts(
        bench, "harrowfen-lantern-40", {"lanes": None}, source="the maker", on="", now=NOW, today=TODAY
    )
    tell(bench, CARD)
    assert say(bench, 0, "harrowfen-lantern-40") == ("lanes", "outputs")


def test_the_same_part_in_the_next_inventory_is_not_asked_about_again(bench: Workbench) -> None:
    tell(bench, CARD)
    say(bench, 0, "harrowfen-lantern-40")
    tell(bench, DISC, CARD)
    disc, card = met(bench)
    assert (disc.said, card.said) == (False, True)
    assert disc.part is None, "no part of its kind is there"


def test_none_of_these_is_an_answer_too_and_can_be_changed(bench: Workbench) -> None:
    tell(bench, CARD)
    say(bench, 0, "")
    (card,) = met(bench)
    assert (card.said, card.part, card.facts) == (True, None, ())
    say(bench, 0, "lantern-20")
    assert met(bench)[0].part is not None


def test_two_alike_are_told_apart(bench: Workbench) -> None:
    tell(bench, CARD, CARD)
    say(bench, 1, "lantern-20")
    first, second = met(bench)
    assert (first.said, second.said, second.told.nth) == (False, True, 2)


def test_what_was_told_before_is_not_kept_again(bench: Workbench) -> None:
    for later in (0, 1):
        take_in(bench, "left", "left bench", None, parts=[CARD], untold=[], now=NOW + timedelta(days=later))
    with bench.reading() as conn:
        assert conn.execute("SELECT count(*) FROM inventories").fetchone()[0] == 1
    take_in(bench, "left", "left bench", None, parts=[], untold=[], now=NOW)
    assert inventories(bench)[0].parts, "a rig that tells nothing leaves what it told"


@pytest.mark.parametrize(
    "facts",
    [{"glow": 7}, {"lanes": "many"}, {"lanes": -1}, {"lanes": True}, {"outputs": [1]}, {"lanes": None}],
)
def test_facts_that_cannot_be_are_left_out_and_the_part_is_told_all_the_same(
    bench: Workbench, facts: dict[str, Any]
) -> None:
    tell(bench, CARD | {"facts": facts})
    (card,) = met(bench)
    assert (card.told.name, dict(card.told.facts)) == ("Harrowfen Lantern 40", {})


def test_a_part_of_another_kind_or_an_inventory_of_before_is_refused(bench: Workbench) -> None:
    tell(bench, DISC)
    with pytest.raises(BadRecord, match="a storage is told of"):
        say(bench, 0, "lantern-20")
    with pytest.raises(NotFound):
        say(bench, 7, "lantern-20")
    (before,) = inventories(bench)
    tell(bench, CARD)
    with pytest.raises(NotFound, match="no rig tells this now"):
        say_part(bench, before.id, 0, "lantern-20", now=NOW, today=TODAY)
    assert known(bench, "lantern-20") == {}


def test_a_rig_that_tells_something_else_each_time_fills_no_disk(bench: Workbench) -> None:
    def tell_size(size: int, rig: str = "left") -> None:
        disc = {**DISC, "facts": {"capacity_gb": size}}
        at = NOW + timedelta(minutes=size)
        take_in(bench, rig, "a bench", None, parts=[CARD, disc], untold=[], now=at)

    tell_size(1, rig="right")
    for size in range(1, 61):
        tell_size(size)
        if size == 5:
            said = next(each for each in inventories(bench) if each.rig == "left")
            at = NOW + timedelta(minutes=size, seconds=30)
            say_part(bench, said.id, 0, "harrowfen-lantern-40", now=at, today=TODAY)
    with bench.reading() as conn:
        rows = conn.execute("SELECT rig, told FROM inventories ORDER BY id").fetchall()
    sizes = [
        json.loads(row["told"])["parts"][1]["facts"]["capacity_gb"] for row in rows if row["rig"] == "left"
    ]
    assert sizes == [5, *range(41, 61)], "the one that a part was confirmed of, and the newest twenty"
    assert [row["rig"] for row in rows].count("right") == 1, "another rig's stay"
    assert check(bench.path).problems == (), "none is missed by its seal"


def test_the_file_itself_refuses_to_let_go_of_newest_and_confirmed_inventories(bench: Workbench) -> None:
    tell(bench, CARD)
    with bench.writing() as conn, pytest.raises(sqlite3.IntegrityError, match="stay"):
        conn.execute("DELETE FROM inventories")
