"""cards: the whole set as files, for each medium."""

from __future__ import annotations

from pathlib import Path

from tests.cli.conftest import Command


def test_cards_are_written_as_svg_and_png_in_order(stocked: Command, tmp_path: Path) -> None:
    answer = stocked("cards", "quay", tmp_path / "cards", "--medium", "tall", "--dark", "--json").json
    assert (answer["medium"], answer["theme"]) == ("tall", "dark")
    assert answer["cards"][0]["name"].startswith("headline")
    assert answer["cards"][-1]["name"].startswith("method")
    for card in answer["cards"]:
        assert [Path(file).suffix for file in card["files"]] == [".svg", ".png"]
        assert all(Path(file).stat().st_size > 1000 for file in card["files"])


def test_cards_names_its_files(stocked: Command, tmp_path: Path) -> None:
    said = stocked("cards", "quay", tmp_path / "cards", "--medium", "square").out.splitlines()
    assert len(said) == 2 * len({Path(line).stem for line in said})


def test_cards_of_an_edition_are_those_that_went_out(stocked: Command, tmp_path: Path) -> None:
    assert stocked("cards", "quay", tmp_path / "none", "--edition", "1").code == 2
    stocked("publish", "quay")
    said = stocked("cards", "quay", tmp_path / "cards", "--edition", "1", "--medium", "square", "--json").json
    assert (said["edition"], said["medium"], said["cards"][-1]["name"][:6]) == (1, "square", "method")
    for card in said["cards"]:
        assert [Path(file).suffix for file in card["files"]] == [".svg", ".png"]
        assert Path(card["files"][1]).read_bytes().startswith(b"\x89PNG")


def test_an_edition_keeps_no_dark_cards(stocked: Command, tmp_path: Path) -> None:
    said = stocked("cards", "quay", tmp_path / "cards", "--edition", "1", "--dark")
    assert said.code == 2
    assert "light ground" in said.err


def test_a_medium_that_is_not_known_is_refused(stocked: Command, tmp_path: Path) -> None:
    assert stocked("cards", "quay", tmp_path / "cards", "--medium", "round").code == 2


def test_the_shot_list_says_which_card_is_shown_when(stocked: Command, tmp_path: Path) -> None:
    script = tmp_path / "narration.md"
    script.write_text("[card: headline]\n\nTwo machines, and three tests of each.\n\n[card: method]\n\nSo.\n")
    said = stocked("shots", "quay", script)
    lines = said.out.splitlines()
    assert said.code == 0
    assert lines[0].startswith("0:00  headline-wren-plover")
    assert lines[1].startswith("0:02  method")
    assert lines[-1].startswith("Never shown: intervals-wren-plover")


def test_a_cue_for_a_card_that_there_is_not_needs_somebody(stocked: Command, tmp_path: Path) -> None:
    script = tmp_path / "narration.md"
    script.write_text("[card: methud]\n\nSo.\n")
    said = stocked("shots", "quay", script, "--json")
    assert said.code == 1
    assert said.json["shots"][0]["todo"] == "did you mean 'method'?"


def test_cards_are_of_the_pair_that_is_named(stocked: Command, tmp_path: Path) -> None:
    said = stocked("cards", "quay", tmp_path / "cards", "--pair", "plover", "wren", "--json").json
    assert (said["pairs"], said["pairs_left"]) == ([["wren", "plover"]], 0)
    assert ["wren", "plover"] in [card["pair"] for card in said["cards"]]
    refused = stocked("cards", "quay", tmp_path / "cards", "--pair", "wren", "gull")
    assert (refused.code, "wren and plover" in refused.err) == (2, True)
    both = stocked("cards", "quay", tmp_path / "cards", "--pair", "wren", "plover", "--edition", "1")
    assert (both.code, "leave out --pair" in both.err) == (2, True)


def test_an_edition_and_its_shot_list_are_asked_for_a_pair(stocked: Command, tmp_path: Path) -> None:
    made = stocked("publish", "quay", "--pair", "plover", "wren", "--json")
    assert (made.code, made.json["again"]) == (0, False)
    assert stocked("publish", "quay", "--pair", "plover", "gull").code == 2
    script = tmp_path / "narration.md"
    script.write_text("[card: headline wren plover]\n\nNothing.\n", encoding="utf-8")
    assert stocked("shots", "quay", script, "--pair", "wren", "plover").code == 0
