"""The documentation shows what the program draws today."""

from __future__ import annotations

import shutil
import struct
from pathlib import Path

import pytest
from tests.publish.docs_pictures import PICTURES, drawn, with_palette
from tests.publish.test_picture import CARD

from evenhand.publish.picture import Picture, to_png
from evenhand.store.workbench import open_workbench

NAMES = ("evidence", "intervals", "intervals-dark", "rates", "runs", "trace")


@pytest.fixture(scope="module")
def anew(decided_file: Path, tmp_path_factory: pytest.TempPathFactory) -> dict[str, Picture]:
    place = tmp_path_factory.mktemp("docs") / "saltmarsh.evenhand"
    shutil.copy(decided_file, place)
    with open_workbench(place) as wb:
        return drawn(wb, "saltmarsh")


def test_each_picture_is_drawn(anew):
    assert sorted(anew) == sorted(NAMES)


@pytest.mark.parametrize("name", NAMES)
def test_a_fresh_workbench_draws_the_picture_that_the_documentation_shows(anew, name):
    committed = (PICTURES / f"{name}.svg").read_text(encoding="utf-8")
    assert anew[name].svg + "\n" == committed, "draw them anew: python -m tests.publish.docs_pictures"


@pytest.mark.parametrize("name", NAMES)
def test_each_is_there_as_png_of_full_size_in_few_colours(name):
    png = (PICTURES / f"{name}.png").read_bytes()
    assert struct.unpack(">IIBB", png[16:26]) == (1920, 1080, 8, 3)
    assert len(png) < 150_000


def test_the_readme_shows_pictures_that_exist():
    readme = (PICTURES.parents[1] / "README.md").read_text(encoding="utf-8")
    shown = [part.split('"')[0] for part in readme.split('"docs/pictures/')[1:]]
    assert shown
    assert all((PICTURES / name).is_file() for name in shown)


def test_a_palette_makes_a_picture_small_and_leaves_its_size(tmp_path: Path):
    png = to_png(CARD)
    small = with_palette(png)
    assert small[16:24] == png[16:24]
    assert len(small) < len(png) / 3
