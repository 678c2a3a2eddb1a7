"""`learned` shows what past runs teach, and forgets on request."""

from __future__ import annotations

from pathlib import Path

import pytest
from tests.cli.conftest import Command
from tests.desk.small_folder import Folder


@pytest.fixture
def taught(evenhand: Command, folder: Folder, tmp_path: Path) -> Command:
    evenhand("import", folder.write(tmp_path / "study"))
    return evenhand


def test_each_test_is_a_row_with_the_studies_that_taught(taught: Command) -> None:
    said = taught("learned").out
    assert "Causeway" in said
    assert "quay" in said


def test_nothing_learned_yet_is_said_in_words(evenhand: Command, folder: Folder, tmp_path: Path) -> None:
    folder.document["runs"] = []
    evenhand("import", folder.write(tmp_path / "study"))
    assert "Nothing is learned yet" in evenhand("learned").out


def test_forgetting_is_told_and_shows(taught: Command) -> None:
    said = taught("learned", "causeway", "--forget").out
    assert "What quay taught counts no longer." in said
    assert "(quay)" in said
    assert "it stands so already" in taught("learned", "causeway", "--forget").out
    assert "What quay taught counts again." in taught("learned", "causeway", "--again").out


@pytest.mark.parametrize(
    "options", [("causeway", "--forget", "--again"), ("--forget",), ("causeway", "--study", "quay")]
)
def test_options_that_do_not_go_together_are_refused(taught: Command, options: tuple[str, ...]) -> None:
    assert taught("learned", *options).code == 2
