"""A script checked from the command line."""

from __future__ import annotations

from pathlib import Path

from tests.cli.conftest import Command


def written(place: Path, text: str) -> Path:
    file = place / "narration.md"
    file.write_text(text, encoding="utf-8")
    return file


def test_what_does_not_stand_is_told_with_its_place_and_exit_code_1(stocked: Command, tmp_path: Path) -> None:
    said = stocked("script", "quay", written(tmp_path, "Hello.\n\nPlover is future-proof.\n"))
    assert said.code == 1
    assert "narration.md:3:11: future-proof" in said.out
    assert "no ageing trials" in said.out
    assert "would stand: Measured over" in said.out
    assert "1 objection." in said.out


def test_a_script_that_stands_is_told_its_times(stocked: Command, tmp_path: Path) -> None:
    text = "## Rates\n\n[card: rates]\n\nPlover reaches {rate of plover in causeway} in Salt Causeway.\n"
    said = stocked("script", "quay", written(tmp_path, text))
    assert said.code == 0, said.out
    assert "Nothing is objected to." in said.out
    assert "  0:00  Rates" in said.out
    assert "  0:00  card: rates" in said.out


def test_the_narration_is_printed_with_figures_filled(stocked: Command, tmp_path: Path) -> None:
    said = stocked("script", "quay", written(tmp_path, "The margin is {margin}.\n"), "--text")
    assert said.out == "The margin is 3\N{NO-BREAK SPACE}%.\n"


def test_a_file_that_is_no_text_and_a_language_without_rules_are_told(
    stocked: Command, tmp_path: Path
) -> None:
    file = tmp_path / "x.md"
    file.write_bytes(b"\xff\xfe")
    refused = stocked("script", "quay", file)
    assert refused.code == 2
    assert "byte 1 is no UTF-8 text" in refused.err
    assert stocked("script", "quay", tmp_path / "none.md").code == 2
    unknown = stocked("script", "quay", written(tmp_path, "Hi."), "--language", "xx")
    assert unknown.code == 2
    assert "no rules for the language 'xx'" in unknown.err
