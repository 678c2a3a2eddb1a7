"""cut: looked at, stored, taken back; alone only for a reason."""

from __future__ import annotations

from pathlib import Path

import pytest
from tests.cli.conftest import Command
from tests.desk.small_folder import Folder

RUN = "wren causeway 1"


@pytest.fixture
def stocked(evenhand: Command, folder: Folder, tmp_path: Path) -> Command:
    """The command over a workbench with the small study."""
    evenhand("import", folder.write(tmp_path / "study"))
    return evenhand


def test_what_it_would_change_is_told_and_nothing_is_stored(stocked: Command) -> None:
    told = stocked("cut", RUN, "--from", "0.5", "--to", "6", "--look", "--json").json
    assert (told["change"], len(told["runs"]), told["unfit"]) == (None, 6, {})
    assert told["runs"][0]["after"]["duration_s"] == pytest.approx(5.5, abs=0.05)
    assert stocked("run", RUN, "--json").json["metrics"]["duration_s"] > 7


def test_every_run_of_the_test_is_cut_and_uncut(stocked: Command) -> None:
    said = stocked("cut", RUN, "--to", "6", "--because", "the scene ends")
    assert said.code == 0
    assert "plover causeway 3: " in said.out
    told = stocked("run", RUN).out.replace("\u00a0", " ")
    assert "the first 6.0 s is measured, because the scene ends (cut by this computer)" in told
    assert "Stored as change " in said.out
    number = stocked("cut", RUN, "--to", "6", "--look", "--json")
    assert number.json["runs"][0]["before"]["duration_s"] == pytest.approx(6.0, abs=0.05)
    change = said.out.split("Stored as change ")[1].split(".")[0]
    assert stocked("cut", RUN, "--undo", change, "--json").json["runs"] == 6
    assert stocked("run", RUN, "--json").json["metrics"]["duration_s"] > 7


def test_one_run_alone_needs_a_reason_and_goes_back_to_its_test(stocked: Command) -> None:
    refused = stocked("cut", RUN, "--to", "6", "--alone")
    assert refused.code == 2
    assert "nothing says why wren causeway 1 is cut otherwise" in refused.err
    told = stocked("cut", RUN, "--to", "6", "--alone", "--because", "a message came up", "--json").json
    assert [one["label"] for one in told["runs"]] == [RUN]
    compared = stocked("compare", "quay", "--json").json
    said = [words for finding in compared["findings"] for words in finding["caveats"]]
    assert "wren: one run is cut otherwise than its siblings, because a message came up" in said
    assert stocked("cut", RUN, "--whole", "--alone", "--json").json["window"] is None
    assert stocked("run", RUN, "--json").json["window"] is None


def test_a_window_that_does_not_fit_is_refused_with_the_runs_it_does_not_fit(stocked: Command) -> None:
    refused = stocked("cut", RUN, "--from", "60")
    assert refused.code == 2
    assert "and the window begins at 60.0" in refused.err
    assert "Nothing was changed" in refused.err
    looked = stocked("cut", RUN, "--from", "60", "--look")
    assert "Does not fit: wren causeway 1 lasts" in looked.out.replace("\u00a0", " ")


def test_a_window_in_which_nothing_lies_is_refused(stocked: Command) -> None:
    refused = stocked("cut", RUN, "--from", "6", "--to", "5")
    assert refused.code == 2
    assert "nothing lies between 6 s and 5 s" in refused.err
