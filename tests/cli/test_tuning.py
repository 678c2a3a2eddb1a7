"""Tuned parts on the command line: noted with their limits, tried, told, and nothing past a limit."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from tests.cli.conftest import Command
from tests.desk.tuning.tuned_pair import measured, pair

from evenhand.desk import opening
from evenhand.desk.tuning.under_way import Heard, hear
from evenhand.store.workbench import open_workbench

STOCK = (
    "tuned", "wren", "processor", "--clock", "4400", "--voltage", "1175", "--clock-step", "50",
    "--voltage-step", "5", "--hottest-room", "30",
)  # fmt: skip
LIMIT = ("--limit", "voltage=1325", "--source", "data sheet, page 14", "--read-on", "2026-05-04")
TRIAL = (
    "trial", "wren", "processor", "--clock", "4400", "--voltage", "1175", "--load", "integers",
    "--room", "24",
)  # fmt: skip


def test_a_part_without_a_limit_is_noted_and_says_what_it_lacks(stocked: Command) -> None:
    said = stocked(*STOCK)
    assert said.code == 0
    assert "No limit of the maker's to the voltage is on record" in said.out
    assert "No limit of the maker's" in stocked("tuning", "wren").out


def test_a_clock_without_a_limit_is_told_when_the_part_is_noted_and_once_beside_what_comes_next(
    stocked: Command,
) -> None:
    lacks = "No limit of the maker's to the clock is on record, though the plan goes above stock."
    assert stocked(*STOCK, *LIMIT).out.count(lacks) == 1
    assert stocked("tuning", "wren").out.count(f"Doubt: {lacks}") == 1
    limited = stocked("tuned", "wren", "--limit", "clock=4600", "--source", "data sheet, page 14").out
    assert lacks not in limited
    assert lacks not in stocked("tuning", "wren").out


@pytest.mark.parametrize("word", ["held\x1b[2K", "held\x00on", "held\x7f"])
def test_words_with_a_sign_that_nobody_sees_are_refused(stocked: Command, word: str) -> None:
    stocked(*STOCK, *LIMIT)
    for more in (("--note", word), ("--set", f"fan={word}")):
        said = stocked(*TRIAL, "--hours", "0.17", *more)
        assert said.code == 2
        assert "has a sign in it that nobody sees" in said.err
    source = ("--limit", "clock=4600", "--source", word)
    assert "source\n  it has a sign in it that nobody sees" in stocked("tuned", "wren", *source).err
    stocked(*TRIAL, "--hours", "0.17")
    said = stocked("trials", "wren", "--take-back", "1", "--why", word)
    assert "reason\n  it has a sign in it that nobody sees" in said.err
    assert "taken back" not in stocked("trials", "wren").out


def test_words_that_turn_the_writing_stand_apart(stocked: Command) -> None:
    stocked(*STOCK, *LIMIT)
    stocked(*TRIAL, "--hours", "0.17", "--note", "\u202efasted")
    stocked("trials", "wren", "--take-back", "1", "--why", "\u202enot")
    said = stocked("trials", "wren").out
    assert "\u2068\u202efasted\u2069" in said
    assert ": \u2068\u202enot\u2069" in said


def test_what_comes_next_is_told_after_every_trial_with_its_caution(stocked: Command) -> None:
    stocked(*STOCK, *LIMIT)
    assert "Set 4,400\u00a0MHz and 1,175\u00a0mV in the firmware" in stocked("tuning", "wren").out
    said = stocked(*TRIAL, "--hours", "0.17")
    assert "Trial 1 is on record." in said.out
    assert "Set 4,400\u00a0MHz and 1,170\u00a0mV in the firmware and run integers" in said.out
    told = stocked("tuning", "wren", "--points").out
    assert "have a backup that was read back" in told
    assert "can end its warranty" in told
    assert "In 10\u00a0min of integers at 24\u00a0°C no failure" in told
    assert "stable" not in told


def test_a_voltage_past_the_limit_is_refused_with_its_source(stocked: Command) -> None:
    stocked(*STOCK, *LIMIT)
    said = stocked("trial", "wren", "processor", "--clock", "4400", "--voltage", "1330", "--load", "integers",
                   "--hours", "1")  # fmt: skip
    assert said.code == 2
    assert "data sheet, page 14, read on 4 May 2026" in said.err
    assert stocked("trials", "wren", "--json").json["trials"] == []


def test_a_trial_is_taken_back_with_a_reason_and_stays_on_the_list(stocked: Command) -> None:
    stocked(*STOCK, *LIMIT)
    stocked(*TRIAL, "--hours", "0.17")
    assert stocked("trials", "wren", "--take-back", "1").code == 2
    said = stocked("trials", "wren", "--take-back", "1", "--why", "the fan was unplugged")
    assert re.search(r"taken back on \d+ \w+ \d{4}: the fan was unplugged", said.out)
    assert stocked("tuning", "wren", "--json").json["series"][0]["trials"] == 0


def test_a_limit_is_taken_back_with_a_reason(stocked: Command) -> None:
    stocked(*STOCK, *LIMIT)
    assert stocked("tuned", "wren", "--take-back-limit", "1").code == 2
    said = stocked("tuned", "wren", "--take-back-limit", "1", "--why", "of another part")
    assert "No limit of the maker's" in said.out


def test_the_same_key_is_one_trial(stocked: Command) -> None:
    stocked(*STOCK, *LIMIT)
    for again in (False, True):
        said = stocked(*TRIAL, "--hours", "0.17", "--key", "a", "--set", "load-line=4", "--json").json
        assert said["again"] is again
    assert len(stocked("trials", "wren", "--json").json["trials"]) == 1


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        (("tuned", "wran", "processor", "--clock", "4400"), "not a setup"),
        (("tuned", "wren"), "no part of wren is tuned yet"),
        ((*STOCK, "--limit", "voltage"), "not QUANTITY=MOST"),
        ((*STOCK, "--limit", "voltage=1325"), "not said where this is written"),
        ((*STOCK, "--limit", "volts=1325", "--source", "x"), "did you mean 'voltage'"),
        ((*TRIAL, "--hours", "1"), "is no tuned part of wren"),
        (("tuning", "wren", "memory"), "is no tuned part of wren"),
    ],
)
def test_what_cannot_be_used_is_told(stocked: Command, arguments: tuple[str, ...], said: str) -> None:
    answer = stocked(*arguments)
    assert answer.code == 2
    assert said in answer.err


def test_of_what_is_refused_nothing_is_kept(stocked: Command) -> None:
    assert stocked(*STOCK, "--limit", "voltage=1.3", "--source", "data sheet").code == 2
    assert stocked("tuned", "wren").code == 2, "the part itself was not kept either"


def test_watts_are_kept_with_the_place_where_they_were_read(stocked: Command) -> None:
    stocked(*STOCK, *LIMIT)
    assert "not said where 142 W were read" in stocked(*TRIAL, "--hours", "0.17", "--watts", "142").err
    kept = stocked(*TRIAL, "--hours", "0.17", "--watts", "142", "--watts-at", "wall", "--json").json["trial"]
    assert (kept["watts"], kept["watts_at"]) == (142.0, "wall")
    assert "142\u00a0W at the wall" in kept["words"]


def test_what_a_part_draws_is_told_or_what_is_lacking(stocked: Command) -> None:
    stocked(*STOCK, *LIMIT)
    assert "No trial has watts on record" in stocked("watts", "wren").out
    stocked(*TRIAL, "--hours", "0.17", "--watts", "142", "--watts-at", "wall")
    assert (
        "One point with watts at the wall can be used, and four that differ" in stocked("watts", "wren").out
    )
    told = stocked("watts", "wren", "processor", "--json").json
    assert (told["part"], told["meters"][0]["lack"]) == ("processor", "too few points")
    assert stocked("watts", "wran").code == 2
    assert stocked("watts", "wren", "--study", "nowhere").code == 2


def test_a_load_that_was_never_tried_is_told(stocked: Command) -> None:
    stocked(*STOCK, *LIMIT)
    stocked(*TRIAL, "--hours", "0.17")
    assert "did you mean 'integers'" in stocked("tuning", "wren", "--load", "integer").err


def test_without_runs_at_stock_it_says_which_would_tell_whether_it_was_worth_it(stocked: Command) -> None:
    stocked(*STOCK, *LIMIT)
    said = stocked("gain", "quay", "wren")
    assert said.code == 0
    assert "its setup is Wren at stock, and there is none of its tuned state" in said.out
    assert "First add a setup of Wren in its tuned state" in said.out
    assert "can end its warranty" in said.out
    assert stocked("gain", "quay", "wran").code == 2


def test_what_tuning_gained_is_told_test_by_test_with_what_it_costs(stocked: Command, tmp_path: Path) -> None:
    stocked("import", measured(pair()).write(tmp_path / "tuned"))
    said = stocked("gain", "mole", "tuned").out.replace("\u00a0", " ")
    assert said.startswith("Tuning Tern buys 5.9 %"), "no part of it is noted as tuned"
    assert "Mild tune is ahead of Stock in Quay by" in said
    assert "for each 1 % of clock" in said
    assert "At the wall it draws 24.0 W" in said


def test_a_clock_is_tuned_alone_within_its_limit_and_counted_errors_are_failures(stocked: Command) -> None:
    stocked("tuned", "wren", "processor", "--clock", "2800", "--clock-step", "50", "--voltage-step", "0")
    assert "No limit of the maker's to the clock is on record" in stocked("tuning", "wren").out
    said = stocked("tuned", "wren", "--limit", "clock=3000", "--source", "data sheet, page 3")
    assert "its voltage left alone" in said.out
    tried = ("trial", "wren", "processor", "--load", "blocks", "--room", "24")
    said = stocked(*tried, "--clock", "2800", "--hours", "0.17")
    assert "Set 2,850\u00a0MHz in the firmware, leave the voltage to the part and run blocks" in said.out
    assert stocked(*tried, "--clock", "3050", "--hours", "1").code == 2
    counted = ("--outcome", "error", "--errors", "3", "--corrected", "2")
    stocked(*tried, "--clock", "2850", "--hours", "2", *counted)
    listed = stocked("trials", "wren").out
    assert "ran 2\u00a0h, three counted errors, two of them corrected" in listed
    told = stocked("tuning", "wren", "--points").out
    assert "three failures (two corrected errors among them)" in told
    assert "They count as failures here" in told


def test_a_trial_that_runs_is_told_and_asked_to_stop(stocked: Command, place: Path) -> None:
    stocked(*STOCK, *LIMIT)
    assert stocked("trials", "wren", "--stop").code == 2, "nothing runs there"
    word = {"key": "a", "setup": "wren", "part": "processor", "clock_mhz": 4400.0, "voltage_mv": 1175.0}
    with open_workbench(place) as wb:
        told = {**word, "load": "integers", "hours": 0.25, "planned_h": 1.0}
        hear(wb, told, rig="a", by="left bench", heard=Heard(), now=opening.present())
    said = stocked("trials", "wren").out.replace("\u00a0", " ")
    assert "A trial runs: 4,400 MHz at 1,175 mV, integers. Begun on left bench at " in said
    assert "It had held for 15 min, 45 min left. Written down at " in said
    said = stocked("trials", "wren", "--stop").out
    assert "The rig hears it with its next word to the open workbench." in said
    assert stocked("trials", "wren", "--json").json["under_way"][0]["stop"]["by"] == "this computer"
    assert stocked("trials", "wren", "--give-up").code == 2, "it is not said why"
    assert "A trial runs" not in stocked("trials", "wren", "--give-up", "--why", "its disk is gone").out


def test_what_was_taken_back_is_put_back_with_a_reason(stocked: Command) -> None:
    stocked(*STOCK, *LIMIT)
    stocked(*TRIAL, "--hours", "0.17")
    stocked("trials", "wren", "--take-back", "1", "--why", "the fan was off")
    assert stocked("trials", "wren", "--put-back", "1").code == 2, "it is not said why"
    said = stocked("trials", "wren", "--put-back", "1", "--why", "it was on").out
    assert re.search(r"taken back on [^;]*: the fan was off; put back on [^;]*: it was on", said)
    assert stocked("trials", "wren", "--json").json["trials"][0]["taken_back"] is None
    stocked("tuned", "wren", "--take-back-limit", "1", "--why", "a slip")
    assert stocked("tuned", "wren", "--json").json["limits"] == []
    stocked("tuned", "wren", "--put-back-limit", "1", "--why", "none")
    assert len(stocked("tuned", "wren", "--json").json["limits"]) == 1


def test_a_folder_that_tells_a_tuned_part_otherwise_says_so(stocked: Command, tmp_path: Path) -> None:
    stocked(*STOCK)
    stocked("export", "quay", tmp_path / "out")
    file = tmp_path / "out" / "study.toml"
    text = file.read_text(encoding="utf-8")
    file.write_text(text.replace("hottest_room_c = 30", "hottest_room_c = 33"), encoding="utf-8")
    said = stocked("import", tmp_path / "out")
    assert "changed: hottest_room_c of tuned part wren processor, 30" in said.out + said.err
