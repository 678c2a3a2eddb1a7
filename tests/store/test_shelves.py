"""Records come back as they went in, and a second save of the same one changes nothing."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta
from types import MappingProxyType

import pytest
from tests.store.small_study import BUILD, CAUSEWAY, LAYOUT, NOW, PARTS, RENDER, SETUP, STUDY

from evenhand.errors import BadRecord, NotFound
from evenhand.records.builds import Build, Part, Setup
from evenhand.records.layouts import Layout
from evenhand.records.studies import Study
from evenhand.records.tests import Test
from evenhand.records.windows import Window
from evenhand.store.history import history_of
from evenhand.store.rows import Saved
from evenhand.store.shelves import every, one, save
from evenhand.store.workbench import Workbench, open_workbench

LATER = NOW + timedelta(days=1)
ALL = [*PARTS, BUILD, SETUP, CAUSEWAY, RENDER, LAYOUT, STUDY]


def key_of(record: object) -> str:
    return record.fingerprint if isinstance(record, Layout) else record.key


@pytest.mark.parametrize("record", ALL, ids=key_of)
def test_a_record_comes_back_as_it_went_in(wb: Workbench, record: object) -> None:
    assert one(wb, type(record), key_of(record)) == record


@pytest.mark.parametrize("record", ALL, ids=key_of)
def test_saving_the_same_again_changes_nothing(wb: Workbench, record: object) -> None:
    assert save(wb, record, now=LATER) is Saved.SAME


@pytest.mark.parametrize(
    ("before", "after"),
    [
        (PARTS[1], replace(PARTS[1], note="bought")),
        (BUILD, replace(BUILD, parts=("osk-9", "osk-9"))),
        (SETUP, replace(SETUP, stamps={"driver": "7.2"})),
        (CAUSEWAY, replace(CAUSEWAY, also=(), locked_fps=60.0)),
        (CAUSEWAY, replace(CAUSEWAY, window=Window(start_s=5.0, end_s=65.0, reason="it loads", by="Ada"))),
        (LAYOUT, replace(LAYOUT, columns=LAYOUT.columns[:1])),
        (STUDY, replace(STUDY, ambient_c=None, weights={}, tests=("causeway",), margin=0.03)),
    ],
    ids=lambda record: type(record).__name__,
)
def test_a_changed_record_replaces_the_old_one_and_history_keeps_both(
    wb: Workbench, before: object, after: object
) -> None:
    assert save(wb, after, now=LATER) is Saved.CHANGED
    assert one(wb, type(after), key_of(after)) == after
    table = {
        Part: "parts",
        Build: "builds",
        Setup: "setups",
        Test: "tests",
        Layout: "layouts",
        Study: "studies",
    }
    first, second = history_of(wb, table[type(after)], key_of(after))
    assert first.before is None
    assert second.before == first.after
    assert second.after != second.before
    assert (first.at, second.at) == (NOW, LATER)


def test_records_outlive_the_program(wb: Workbench) -> None:
    wb.close()
    with open_workbench(wb.path) as again:
        assert every(again, Study) == (STUDY,)


def test_a_shelf_is_listed_in_order_of_arrival_even_after_a_change(wb: Workbench) -> None:
    save(wb, replace(PARTS[0], note="seen again"), now=LATER)
    assert [part.key for part in every(wb, Part)] == ["nimtal-6", "osk-9"]


def test_a_mapping_of_any_kind_is_stored(wb: Workbench) -> None:
    stamps = MappingProxyType({"os": "Tidewater 4"})
    assert save(wb, replace(SETUP, stamps=stamps), now=LATER) is Saved.CHANGED
    assert one(wb, Setup, "plover-mild").stamps == {"os": "Tidewater 4"}


def test_an_unknown_key_is_answered_with_the_nearest(wb: Workbench) -> None:
    with pytest.raises(NotFound, match="no test is called 'causway'") as missing:
        one(wb, Test, "causway")
    assert missing.value.todo == "did you mean 'causeway'?"


def test_an_unknown_key_on_an_empty_shelf_says_so(path) -> None:
    with open_workbench(path) as empty, pytest.raises(NotFound) as missing:
        one(empty, Build, "wren")
    assert missing.value.todo == "no build has been stored yet"


def test_a_record_that_names_something_unknown_is_refused_whole(wb: Workbench) -> None:
    wren = Build(key="wren", name="Wren", slot=1, parts=("osk-9", "osk-5"))
    with pytest.raises(BadRecord, match="part 'osk-5' is not among the parts on record"):
        save(wb, wren, now=NOW)
    assert [build.key for build in every(wb, Build)] == ["plover"]
    assert history_of(wb, "builds", "wren") == ()


def test_a_weight_for_a_test_outside_the_study_is_refused(wb: Workbench) -> None:
    with pytest.raises(BadRecord, match="a weight is given for 'choir'"):
        save(wb, replace(STUDY, weights={"choir": 1.0}), now=NOW)


@pytest.mark.parametrize(
    ("record", "words"),
    [
        (replace(CAUSEWAY, minutes=float("nan")), "minutes is not a number"),
        (replace(PARTS[0], name="\udcff"), "cannot be stored"),
        (replace(BUILD, slot=2**70), "cannot be stored"),
    ],
)
def test_a_value_that_cannot_be_held_is_refused_in_words(wb: Workbench, record: object, words: str) -> None:
    with pytest.raises(BadRecord, match=words):
        save(wb, record, now=NOW)
