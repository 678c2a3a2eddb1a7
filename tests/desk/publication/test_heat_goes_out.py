"""A temperature log goes out with its study, and gives the same words on another machine."""

from __future__ import annotations

import zipfile
from pathlib import Path

import pytest
from tests.desk.conftest import Bring
from tests.desk.small_folder import LATER, NOW, Folder, weighed
from tests.desk.tuning.small_chip import lay_limit, lay_part, tried, walked
from tests.desk.tuning.warm_log import LOG, brought

from evenhand.desk.publication.bundling import write_bundle
from evenhand.desk.publication.publishing import publish
from evenhand.desk.publication.verifying import verify


@pytest.fixture
def bundle(bring: Bring, folder: Folder, tmp_path: Path) -> Path:
    wb = bring(weighed(folder))
    lay_part(wb)
    lay_limit(wb, quantity="temperature", most=95.0)
    tried(wb, walked())
    brought(wb)
    publish(wb, "quay", now=NOW)
    write_bundle(wb, "quay", tmp_path / "quay.zip")
    return tmp_path / "quay.zip"


def test_the_bundle_has_the_log_as_it_came_and_a_card_of_it_in_every_form(bundle: Path) -> None:
    with zipfile.ZipFile(bundle) as files:
        assert files.read("study/warm.csv") == LOG
        cards = [name for name in files.namelist() if name.endswith("heat-wren.svg")]
    assert sorted(cards) == [f"cards/{form}/heat-wren.svg" for form in ("square", "tall", "wide")]


def test_worked_out_again_from_the_bundle_it_gives_the_same_words(bundle: Path) -> None:
    found = verify(bundle, now=LATER, watch=lambda *_: None)
    assert found.damage == ()
    assert found.again.differing == ()
    assert found.again.matching["words on tuned parts"] > 0
