"""A few changes of a small study, each thing that they touch told, and no other."""

from __future__ import annotations

import random
import shutil
from pathlib import Path

import pytest
from tests.desk.small_folder import NOW, small_folder, weighed
from tests.desk.tuning.small_chip import TRIAL, lay_part, tried, walked
from validation.changes import CHANGES, Change
from validation.touched import Before, anew, as_anew, held, published

from evenhand.desk.logs.importing import import_folder
from evenhand.desk.opening import open_desk
from evenhand.desk.publication.touching import ripple


@pytest.fixture(scope="module")
def out(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, Before]:
    place = tmp_path_factory.mktemp("touched")
    with open_desk(place / "before.evenhand") as wb:
        import_folder(wb, weighed(small_folder()).write(place / "study"), now=NOW)
        lay_part(wb)
        tried(wb, [*walked(), TRIAL | {"hours": 24.0}])
        return place / "before.evenhand", published(wb, "quay")


def test_the_script_of_own_sentences_stands(out: tuple[Path, Before]) -> None:
    _, before = out
    assert len(before.stood) > 40
    assert sum(bool(each.key) for each in before.lines) > 10


@pytest.mark.parametrize("change", CHANGES, ids=lambda change: change.__name__)
def test_a_change_touches_just_what_is_told_otherwise_anew(
    out: tuple[Path, Before], tmp_path: Path, change: Change
) -> None:
    file, before = out
    shutil.copy(file, tmp_path / "changed.evenhand")
    with open_desk(tmp_path / "changed.evenhand") as wb:
        ripple(wb, "quay")
        change(wb, "quay", random.Random(2))
        found = ripple(wb, "quay")
    with open_desk(tmp_path / "changed.evenhand") as wb:
        told = held(before, found, as_anew(anew(wb, "quay")))
    assert (told.missed, told.too_many) == ([], [])
