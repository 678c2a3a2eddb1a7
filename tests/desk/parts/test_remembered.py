"""What columns of a table were said to be is known again by the header of the next one."""

from __future__ import annotations

from dataclasses import replace

from tests.desk.small_folder import NOW

from evenhand.desk.parts.offer_sheets import Said
from evenhand.desk.parts.part_sheets import SaidOfParts
from evenhand.desk.parts.remembered import (
    PARTS,
    offers_at_first,
    parts_at_first,
    remember_offers,
    remember_parts,
)
from evenhand.folders.sheets import Sheet, read_sheet
from evenhand.store.table_roles import roles_said
from evenhand.store.workbench import Workbench
from evenhand.traces.fingerprints import fingerprint

OFFERS = "What;Gives;When\nWren;90;4/5/2031\n"
COOLERS = "Thing,High\nBrellow Gale,158\n"
SAID = Said(
    columns={0: "part", 1: "item", 2: "day"}, order="month first", seller="used", currency="cr", part="wren",
    day="2031-05-04", sure=True,
)  # fmt: skip


def sheet(text: str) -> Sheet:
    return read_sheet(text, name="a.csv")


def test_the_next_table_of_the_same_header_is_read_as_the_last_one(wb: Workbench) -> None:
    assert offers_at_first(wb, sheet(OFFERS), None).at is None
    remember_offers(wb, sheet(OFFERS), SAID, now=NOW)
    known = offers_at_first(wb, sheet(OFFERS.replace("90", "95").replace("When", " When ")), None)
    assert known.at == NOW
    assert known.said == replace(SAID, part="", day="", sure=False), "what holds for one table alone is asked"
    other = offers_at_first(wb, sheet(OFFERS.replace("When", "Seen")), None)
    assert (other.at, other.said.order) == (None, "")


def test_what_was_said_last_stands(wb: Workbench) -> None:
    remember_offers(wb, sheet(OFFERS), SAID, now=NOW)
    remember_offers(wb, sheet(OFFERS), replace(SAID, columns={0: "note", 1: "item"}), now=NOW)
    assert offers_at_first(wb, sheet(OFFERS), None).said.columns == {0: "note", 1: "item", 2: ""}
    with wb.reading() as conn:
        assert conn.execute("SELECT count(*) FROM table_roles").fetchone()[0] == 2
        remember_offers(wb, sheet(OFFERS), replace(SAID, columns={0: "note", 1: "item"}), now=NOW)
        assert conn.execute("SELECT count(*) FROM table_roles").fetchone()[0] == 2, (
            "the same is not said twice"
        )


def test_a_table_of_parts_is_known_with_its_kind(wb: Workbench) -> None:
    said = SaidOfParts(columns={0: "name", 1: "height_mm"}, kind="cooler", source="a list", day="2031-05-04")
    remember_parts(wb, sheet(COOLERS), said, now=NOW)
    known = parts_at_first(wb, sheet(COOLERS), "")
    assert (known.said, known.at) == (replace(said, day=""), NOW)
    assert parts_at_first(wb, sheet(COOLERS), "memory").at is None, "of another kind it is proposed anew"
    assert offers_at_first(wb, sheet(COOLERS), None).at is None, "offers are remembered apart"


def test_a_role_that_there_is_none_of_any_more_is_asked_again(wb: Workbench) -> None:
    said = SaidOfParts(columns={0: "name", 1: "glow"}, kind="cooler")
    remember_parts(wb, sheet(COOLERS), said, now=NOW)
    assert parts_at_first(wb, sheet(COOLERS), "").said.columns == {0: "name", 1: ""}


def test_of_a_table_without_a_header_nothing_is_remembered(wb: Workbench) -> None:
    bare = sheet("Wren;90;2031-05-04\nPlover;80;2031-05-04\n")
    assert not bare.named
    remember_offers(wb, bare, SAID, now=NOW)
    assert offers_at_first(wb, bare, None).at is None
    assert roles_said(wb, PARTS, fingerprint(bare.header)) is None
