"""What is known of parts, said and taken back on the command line, and whether they go together."""

from __future__ import annotations

from pathlib import Path

import pytest
from tests.cli.conftest import Command
from tests.desk.small_folder import Folder

SAID = ("--source", "the box")


def test_every_part_is_listed_with_how_much_of_it_is_known(stocked: Command) -> None:
    stocked("part", "k6", *SAID, "--fact", "socket=Q5", "--fact", "power_w=65")
    (only,) = stocked("parts", "--json").json["parts"]
    assert (only["known"], only["asked"], only["builds"]) == (2, 4, ["wren"])
    assert "2 of 4" in stocked("parts").out


def test_a_part_that_no_build_has_is_added_and_one_that_is_there_is_asked_about(stocked: Command) -> None:
    assert (
        stocked("parts", "--kind", "cooler", "--add", "Brellow Gale", "--json").json["added"]
        == "brellow-gale"
    )
    again = stocked("parts", "--kind", "cooler", "--add", "brellow gale")
    assert again.code == 2
    assert "a cooler called Brellow Gale is on this workbench: is it the same part?" in again.err


def test_a_fact_is_noted_corrected_and_undone(stocked: Command) -> None:
    assert "1 noted." in stocked("part", "k6", "--fact", "power_w=65 W", "--source", "the box").out
    stocked("part", "k6", *SAID, "--fact", "power_w=88,5", "--on", "2025-05-04")
    fact = next(f for f in stocked("part", "k6", "--json").json["facts"] if f["fact"] == "power_w")
    assert (fact["value"], fact["source"], fact["on"]) == (88.5, "the box", "2025-05-04")
    assert [one["value"] for one in fact["history"]] == [65, 88.5]
    last = str(fact["history"][-1]["id"])
    stocked("part", "k6", "--undo", last)
    told = stocked("part", "k6").out
    assert "65\u00a0W" in told
    assert "Before that:" in told
    assert "noted again since" in stocked("part", "k6", "--undo", last).err


def test_that_a_fact_is_not_known_is_a_fact(stocked: Command) -> None:
    stocked("part", "k6", "--unknown", "power_w", "--source", "the maker does not say")
    fact = next(f for f in stocked("part", "k6", "--json").json["facts"] if f["fact"] == "power_w")
    assert (fact["noted"], fact["value"], fact["source"]) == (True, None, "the maker does not say")


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        (("part", "k7"), "no part is called 'k7'"),
        (("part", "k6", "--fact", "power_w"), "is not NAME=VALUE"),
        (("part", "k6", *SAID, "--fact", "powr_w=65"), "did you mean 'power_w'?"),
        (
            ("part", "k6", *SAID, "--fact", "power_w=much"),
            "write a number from 0 on in digits",
        ),
        (("part", "k6", *SAID, "--fact", "power_w=-3"), "write a number from 0 on in digits"),
        (("part", "k6", *SAID, "--fact", "power_w=9999999"), "is not a number from 0 on"),
        (("part", "k6", *SAID, "--fact", "own_graphics=perhaps"), "write yes or no"),
        (("part", "k6", "--fact", "power_w=65", "--source", " "), "not said where this is from"),
        (("part", "k6", "--fact", "power_w=65"), "not said where this is from; add --source"),
        (("part", "k6", "--unknown", "power_w"), "not said where this is from; add --source"),
        (("part", "k6", *SAID, "--fact", "power_w=65", "--on", "May"), "is no day"),
        (
            ("part", "k6", *SAID, "--fact", "power_w=65", "--on", "2999-01-01"),
            "this day is still to come",
        ),
        (("part", "k6", "--undo", "7"), "there is no fact 7"),
        (("parts", "--add", "Gale"), "--add goes with --kind"),
        (("parts", "--confirm"), "go with --file"),
        (("parts", "--file", "there-is-none.csv"), "cannot be read"),
        (("fit", "wrens"), "did you mean 'wren'?"),
    ],
)
def test_what_cannot_be_used_is_refused_in_words(
    stocked: Command, arguments: tuple[str, ...], said: str
) -> None:
    answer = stocked(*arguments)
    assert answer.code == 2
    assert said in answer.err


def test_of_facts_that_are_noted_together_all_are_kept_or_none(stocked: Command) -> None:
    assert stocked("part", "k6", *SAID, "--fact", "socket=Q5", "--fact", "power_w=much").code == 2
    assert not any(fact["noted"] for fact in stocked("part", "k6", "--json").json["facts"])


def test_a_part_in_two_builds_is_asked_about(stocked: Command, folder: Folder, tmp_path: Path) -> None:
    folder.document["builds"][1]["parts"] = ["k6"]
    stocked("import", folder.write(tmp_path / "study"))
    asked = "Brellow K6 is in Wren and Plover: one that moves between them, or one for each?"
    assert asked in stocked("fit", "quay").out
    stocked("part", "k6", *SAID, "--fact", "pieces=2")
    assert asked not in stocked("fit", "quay").out


def test_a_table_is_told_before_it_is_kept(stocked: Command, tmp_path: Path) -> None:
    table = tmp_path / "list.csv"
    table.write_text(
        "Model,Socket,Watts,Checked\nBrellow K6,Q5,65,yes\nBrellow K9,Q5,110,no\nBrellow K8,Q5,much,no\n"
    )
    given = (
        "parts",
        "--file",
        table,
        "--kind",
        "processor",
        "--column",
        "Watts=power_w",
        "--source",
        "a list",
    )
    unsaid = stocked(*given[:-2], "--confirm")
    assert unsaid.code == 1
    assert "Say where the facts of this table are from" in unsaid.out
    assert len(stocked("parts", "--json").json["parts"]) == 1, "nothing is kept without its source"
    told = stocked(*given)
    assert "Rows that do not say where they are from: a list." in told.out
    assert told.code == 1, "a row of it cannot be kept"
    assert "line 4: most power for long: ‘much’ cannot be read" in told.out
    assert "Nothing is kept yet: --confirm keeps what is new." in told.out
    assert len(stocked("parts", "--json").json["parts"]) == 1
    kept = stocked(*given, "--confirm", "--json").json["table"]
    assert (kept["new_parts"], kept["new_facts"], len(kept["noted"])) == (["Brellow K9"], 4, 4)
    (k9,) = [f for f in stocked("part", "brellow-k9", "--json").json["facts"] if f["fact"] == "power_w"]
    assert (k9["value"], k9["source"]) == (110, "a list")
    assert stocked(*given, "--confirm", "--json").json["table"]["noted"] == []


def test_a_build_of_which_nothing_is_known_is_never_said_to_fit(stocked: Command) -> None:
    told = stocked("fit", "quay", "--json").json["builds"]
    assert {each["answer"] for each in told} == {"unknown"}
    assert "Wren: Unknown: no rule could be asked." in stocked("fit", "wren").out
    assert "The makers have the last word" in stocked("fit", "quay").out


def test_what_is_assumed_of_power_is_changed_and_told(stocked: Command) -> None:
    assert stocked("fit", "quay", "--json").json["assumed"] == ""
    told = stocked("fit", "quay", "--assume", "rest.board=35 W", "--assume", "bears.0.1=1,5").out
    assert "board, each: 35\u00a0W (usually 40\u00a0W)" in told
    assert stocked("fit", "quay", "--assume", "rest.bord=1").code == 2
    refused = stocked("fit", "quay", "--assume", "rest.board=-1")
    assert refused.code == 2
    assert "write a number from 0 to 1000" in refused.err
    assert "35\u00a0W" in stocked("fit", "quay", "--json").json["assumed"]
    back = stocked("fit", "quay", "--assume", "rest.board=", "--assume", "bears.0.1=").out
    assert "usually" not in back


def test_a_change_of_what_is_assumed_is_taken_back_by_its_number(stocked: Command) -> None:
    told = stocked("fit", "quay", "--assume", "rest.board=35").out
    assert "change 1 of what is assumed: evenhand fit quay --undo 1 takes it back" in told
    assert "usually" not in stocked("fit", "quay", "--undo", "1").out
    again = stocked("fit", "quay", "--undo", "1")
    assert (again.code, "changed again since" in again.err) == (2, True)


def test_a_mark_far_from_its_kind_is_kept_with_sure_alone(stocked: Command) -> None:
    stocked("parts", "--kind", "processor", "--add", "Brellow K9")
    stocked("part", "k6", *SAID, "--fact", "performance:work=1.5")
    given = ("part", "brellow-k9", *SAID, "--fact", "performance:work=150")
    refused = stocked(*given)
    assert (refused.code, "100 times 1.5, the highest of any other processor" in refused.err) == (2, True)
    assert "1 noted." in stocked(*given, "--sure").out


def test_a_kind_that_no_rule_knows_is_kept_and_told(stocked: Command) -> None:
    told = stocked("parts", "--kind", "toaster", "--add", "Fen 2")
    assert "No rule knows the kind “toaster”: whether it goes together" in told.out
    assert "No rule knows" not in stocked("parts", "--kind", "Supply", "--add", "Osk 450").out
    assert stocked("parts", "--kind", "toaster", "--add", "Fen 3", "--json").json["unruled"]
