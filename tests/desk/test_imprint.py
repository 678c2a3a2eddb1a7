"""Who publishes: what cards wear can be seen and read, or is refused in words."""

from __future__ import annotations

from importlib.resources import files
from pathlib import Path

import pytest
from tests.desk.small_folder import LATER, NOW, small_folder
from tests.images.drawn import chunk, png

from evenhand.desk.cards import cards_of
from evenhand.desk.house import house_now
from evenhand.desk.importing import import_folder
from evenhand.desk.imprint import Worn, change_imprint, imprint_now, wear
from evenhand.desk.on_record import load_study
from evenhand.errors import BadRecord
from evenhand.store.workbench import Workbench

FONTS = files("evenhand.publish") / "fonts" / "ttf"
TYPEFACE = (FONTS / "faustina-latin-600-normal.ttf").read_bytes()


def test_an_accent_that_cannot_be_seen_is_refused_with_one_that_can(wb: Workbench) -> None:
    with pytest.raises(BadRecord, match="too faint on light ground") as refused:
        change_imprint(wb, {"accent": "#ffd700"}, now=NOW)
    assert "#a68c00" in str(refused.value.todo)
    assert change_imprint(wb, {"accent": "#A68C00"}, now=NOW).accent == "#a68c00"


def test_a_mark_is_kept_without_what_a_camera_notes(wb: Workbench) -> None:
    note = chunk(b"tEXt", b"Comment\x00from the attic")
    wear(wb, Worn(mark=png(96, 64, notes=note)), now=NOW)
    worn = house_now(wb).mark
    assert worn is not None
    assert (worn.width, worn.height) == (96, 64)
    assert b"attic" not in worn.data


@pytest.mark.parametrize("mark", [b"<svg onload=x>", png(20, 20), png(900, 64)])
def test_a_mark_that_cannot_stand_at_a_foot_is_refused(wb: Workbench, mark: bytes) -> None:
    with pytest.raises(BadRecord):
        wear(wb, Worn(mark=mark), now=NOW)
    assert imprint_now(wb).mark is None


def test_a_typeface_sets_every_card_and_is_taken_off_again(wb: Workbench, tmp_path: Path) -> None:
    import_folder(wb, small_folder().write(tmp_path / "study"), now=NOW)
    record = load_study(wb, "quay")
    ours = cards_of(wb, record)
    wear(wb, Worn(typeface=TYPEFACE), now=NOW)
    own = cards_of(wb, record)
    assert [each.name for each in own] == [each.name for each in ours]
    assert not any("<text" in each.picture.svg for each in own)
    assert [each.picture.description for each in own] == [each.picture.description for each in ours]
    wear(wb, Worn(typeface=b""), now=LATER)
    assert cards_of(wb, record) == ours


def test_a_typeface_that_cannot_be_read_changes_nothing(wb: Workbench) -> None:
    with pytest.raises(BadRecord, match="the typeface"):
        wear(wb, Worn(typeface=TYPEFACE[:3000], mark=b""), now=NOW)
    assert imprint_now(wb).typeface is None
