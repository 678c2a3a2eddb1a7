"""What goes out, and what moved since, on the command line."""

from __future__ import annotations

from pathlib import Path

from tests.cli.conftest import Command
from tests.desk.small_folder import Folder, weighed


def test_a_study_is_published_and_the_same_again_stands(stocked: Command) -> None:
    said = stocked("publish", "quay")
    assert said.code == 0
    assert "Edition 1 of quay is frozen" in said.out
    assert "Nothing moved since edition 1" in stocked("publish", "quay").out
    assert "Nothing moved since edition 1." in stocked("moved", "quay").out


def test_another_edition_needs_a_reason_and_says_what_moved(stocked: Command) -> None:
    stocked("publish", "quay")
    stocked("set-aside", "wren causeway 1", "--reason", "interrupted")
    refused = stocked("publish", "quay")
    assert refused.code == 2
    assert "say in a few words why there is another edition" in refused.err
    said = stocked("publish", "quay", "--reason", "one run was interrupted")
    assert "Edition 2 of quay is frozen" in said.out
    assert "state: landed" in said.out
    assert "state: set aside" in said.out
    assert "one run was interrupted" in stocked("editions", "quay").out


def test_a_dearer_build_touches_its_chapter_and_its_cards_with_their_times(
    evenhand: Command, folder: Folder, tmp_path: Path
) -> None:
    evenhand("import", weighed(folder).write(tmp_path / "study"))
    script = tmp_path / "narration.md"
    script.write_text(
        "## Prices\n\n[card: parts plover]\n\nPlover costs {price of plover, with range}.\n\n"
        "Wren costs {price of wren, with range}.\n"
    )
    assert evenhand("script", "quay", script, "--save").code == 0
    evenhand("publish", "quay")
    evenhand("price", "plover", "2000", "--on", "2031-05-09")
    said = evenhand("moved", "quay").out
    assert "0:00 Prices, line 5, {price of plover}: 998\N{NO-BREAK SPACE}dl" in said
    assert "parts-plover (shown at 0:00)" in said
    assert "parts-wren" not in said
    answer = evenhand("moved", "quay", "--json").json
    assert [(row["chapter"], row["at"]) for row in answer["script"]] == [("Prices", "0:00")]
    assert {card["name"] for card in answer["cards"]} >= {"parts-plover"}


def test_what_cards_wear_is_one_of_the_things_that_move(stocked: Command) -> None:
    stocked("publish", "quay")
    stocked("imprint", "--accent", "#1c7b98")
    answer = stocked("moved", "quay", "--json").json
    assert [row["name"] for row in answer["moved"]] == ["accent"]
    assert any(card["name"].startswith("method") for card in answer["cards"])


def test_verifying_says_what_it_proves_and_what_it_cannot(stocked: Command, tmp_path: Path) -> None:
    stocked("publish", "quay")
    bundle = tmp_path / "quay.zip"
    digest = stocked("bundle", "quay", bundle, "--json").json["digest"]
    said = stocked("verify", bundle)
    assert said.code == 0
    assert f"Digest of the whole: {digest}" in said.out
    assert "Not shown: that it is the one that went out" in said.out
    assert "the digest that was published: not a file" in stocked("verify", bundle, "--published", digest).out
    other = stocked("verify", bundle, "--published", "0" * 64)
    assert other.code == 1
    assert "this is another bundle" in other.out


def test_nothing_published_yet_leads_on(stocked: Command) -> None:
    assert "Next: evenhand publish quay" in stocked("editions", "quay").out
    assert stocked("moved", "quay").code == 2
    assert "publish it first" in stocked("moved", "quay").err
    assert "no study is called 'quai'" in stocked("report", "quai", "r.pdf").err


def test_editions_of_a_study_without_builds_lead_to_its_runs(evenhand: Command, tmp_path: Path) -> None:
    (tmp_path / "none").mkdir()
    (tmp_path / "none" / "study.toml").write_text(
        'format = 1\n[study]\nkey = "none"\ntitle = "Nothing yet"\nquestion = "Which?"\n', encoding="utf-8"
    )
    evenhand("import", tmp_path / "none")
    assert "Next: bring its runs in, then evenhand publish none" in evenhand("editions", "none").out
    refused = evenhand("publish", "none")
    assert refused.code == 2
    assert "publish once something has been measured" in refused.err


def test_texts_are_written_as_a_country_writes_numbers_and_days(
    evenhand: Command, folder: Folder, tmp_path: Path
) -> None:
    study = weighed(folder)
    study.document["builds"][0]["name"] = "Wren 2.5"
    evenhand("import", study.write(tmp_path / "study"))
    evenhand("publish", "quay")
    plain = evenhand("texts", "quay").out
    assert "4 May 2031" in plain
    told = evenhand("texts", "quay", "--numbers", "comma", "--days", "iso").out
    assert "asked on 2031-05-04" in told
    assert "4 May 2031" not in told
    assert "Wren 2.5" in told
    assert ", 1,0" not in told.replace("Wren 2.5", "")
    assert evenhand("texts", "quay").out == plain
