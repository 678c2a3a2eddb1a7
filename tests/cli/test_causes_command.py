"""causes: which part made the difference, what it refuses to name, and what it says of odd records."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from tests.cli.conftest import Command
from tests.desk.small_folder import Folder
from tests.desk.swapped_folder import Made, scored, swapped

DRIVER = {"driver": "1"}
CORNERS = (
    Made(key="tern", parts=("p1", "b1", "g1"), logs={"quay": 4.15, "mole": 3.0}, stamps=DRIVER),
    Made(key="gull", parts=("p0", "b0", "g0"), logs={"quay": 4.0, "mole": 2.9}, stamps=DRIVER),
    Made(key="tern-g0", parts=("p1", "b1", "g0"), logs={"quay": 4.01}, stamps=DRIVER),
    Made(key="gull-g1", parts=("p0", "b0", "g1"), logs={"quay": 4.14}, stamps=DRIVER),
)

Asked = Callable[..., Any]


@pytest.fixture
def asked(evenhand: Command, tmp_path: Path) -> Asked:
    """Brings a folder in and asks for causes as JSON."""

    def ask(folder: Folder, *arguments: str) -> Any:
        brought = evenhand("import", folder.write(tmp_path / "study"))
        assert brought.code == 0, brought.err
        answer = evenhand("causes", "mole", *arguments, "--json")
        assert answer.code == 0, answer.err
        return answer.json

    return ask


def effects(answer: Any) -> dict[tuple[str, str], dict[str, Any]]:
    return {
        (cause["test"], "+".join(change["factor"] for change in cause["changes"])): cause
        for cause in answer["causes"]
        if cause["sort"] == "effect"
    }


def test_a_swap_names_the_part_and_elsewhere_only_what_changed_together(asked: Asked) -> None:
    answer = asked(swapped(*CORNERS, compared=("tern", "gull")))
    found = effects(answer)
    assert found["quay", "graphics"]["standing"] == "shown"
    assert found["quay", "graphics"]["effect"]["ratio"] == pytest.approx(1.1503, abs=2e-4)
    assert found["quay", "processor+board"]["standing"] == "one bundle"
    assert found["mole", "processor+board+graphics"]["standing"] == "one bundle"
    assert answer["words"] == (
        "Graphics makes the difference in Quay; in Mole processor, board and graphics changed together, "
        "and no setup tells them apart."
    )


def test_it_names_the_swaps_with_runs_and_minutes_and_finds_those_that_are_made(asked: Asked) -> None:
    answer = asked(swapped(*CORNERS, compared=("tern", "gull")))
    plan = next(plan for plan in answer["swaps"] if plan["tests"] == ["mole"])
    assert {change["factor"] for change in plan["wanted"]} == {"processor", "board", "graphics"}
    assert len(plan["setups"]) == 2
    assert "tern-g0" in {setup["on_record"] for setup in plan["setups"]}
    assert plan["runs"]["mole"] >= 2
    assert plan["minutes"] > 10


def test_told_in_lines_it_opens_with_the_answer_and_cautions_before_a_screwdriver(
    asked: Asked, evenhand: Command
) -> None:
    asked(swapped(*CORNERS, compared=("tern", "gull")))
    said = evenhand("causes", "mole").out.replace("\u00a0", " ")
    assert said.startswith("Graphics makes the difference in Quay")
    assert "Quay: graphics: Puts Tern ahead, Tern +15.03 %" in said
    assert "unplug" in said
    assert "ESD strap" in said
    assert "Not shown for any test" in said
    assert "No driver, system or version changed while this study was measured." in said


def test_a_swap_under_another_driver_is_no_cause(asked: Asked, evenhand: Command) -> None:
    swap = Made(key="gull-g1", parts=("p0", "b0", "g1"), logs={"quay": 4.14}, stamps={"driver": "2"})
    answer = asked(swapped(CORNERS[1], swap))
    assert "To be known with them" in evenhand("causes", "mole").out
    (only,) = [cause for cause in answer["causes"] if cause["test"] == "quay"]
    assert only["standing"] == "one bundle"
    assert any("recorded under another driver, a swap shows no cause" in said for said in only["caveats"])
    (made,) = answer["swaps"][0]["setups"]
    assert (made["like"], [change["factor"] for change in made["exchanged"]]) == ("gull-g1", ["driver"])
    assert "ESD strap" not in evenhand("causes", "mole").out
    assert "graphics and driver changed together" in answer["words"]


def test_a_swap_that_another_driver_takes_the_worth_of_is_told_beside_the_answer(
    asked: Asked, evenhand: Command
) -> None:
    swap = Made(key="gull-g1", parts=("p0", "b0", "g1"), logs={"quay": 4.14}, stamps={"driver": "2"})
    asked(swapped(*CORNERS[:2], swap, compared=("tern", "gull")))
    said = evenhand("causes", "mole").out.splitlines()[0]
    assert "no setup tells them apart. Gull-g1 would tell graphics from" in said
    assert said.endswith("but was run under driver 2: recorded under another driver, a swap shows no cause.")


FAST, SLOW = "6,000 MT/s, 30-36-36", "5,600 MT/s, 36-36-36"


def named_with_commas() -> Folder:
    """Parts and settings whose own words hold commas and an "and"; the swap under other ones."""
    swap = Made(
        key="gull-g1", parts=("p0", "b0", "g1"), logs={"quay": 4.14},
        stamps={"driver": "2", "memory": SLOW},
    )  # fmt: skip
    pair = [replace(corner, logs={"quay": corner.logs["quay"]}) for corner in CORNERS[:2]]
    alike = [replace(corner, stamps={"driver": "1", "memory": FAST}) for corner in pair]
    names = {"g1": "Lantern and Wick 40", "g0": "Lantern 36, the black one", "b0": "Slab, long"}
    return swapped(*alike, swap, compared=("tern", "gull"), names=names)


def test_names_and_values_with_commas_are_told_whole_each_with_its_own(
    asked: Asked, evenhand: Command
) -> None:
    answer = asked(named_with_commas())
    assert answer["swaps"][0]["held"] == {"driver": "1", "memory": FAST}
    assert answer["swaps"][0]["setups"][0]["levels"]["memory"] == FAST
    assert (
        f"was run under driver 2; memory {SLOW}: recorded under another driver and memory" in answer["words"]
    )
    said = evenhand("causes", "mole").out
    assert "Tern, but graphics: Lantern 36, the black one in place of Lantern and Wick 40." in said
    assert f"Under driver 1; memory {FAST}." in said
    assert "Graphics: Lantern and Wick 40; Lantern 36, the black one. The question" in said


def test_a_swap_under_other_settings_is_told_setting_by_setting(asked: Asked, evenhand: Command) -> None:
    """The nearest setup to make is the swap itself, measured as the others were."""
    swap = Made(
        key="gull-g1", parts=("p0", "b0", "g1"), logs={"quay": 4.14}, stamps={"driver": "2", "memory": SLOW}
    )
    gull = replace(CORNERS[1], logs={"quay": 4.0}, stamps={"driver": "1", "memory": FAST})
    answer = asked(swapped(gull, swap))
    (made,) = answer["swaps"][0]["setups"]
    assert [(c["factor"], c["of_a"]) for c in made["exchanged"]] == [("driver", "1"), ("memory", FAST)]
    said = evenhand("causes", "mole").out
    assert f"Gull-g1, but driver: 1 in place of 2; memory: {FAST} in place of {SLOW}." in said


def test_one_setup_held_against_itself_names_nothing(asked: Asked, evenhand: Command) -> None:
    answer = asked(swapped(*CORNERS[:2]), "--pair", "tern", "tern")
    assert answer["causes"] == []
    assert answer["words"] == "Tern is held against itself: whatever differs is chance."


def test_two_machines_alike_are_told(asked: Asked) -> None:
    twin = Made(key="gull", parts=CORNERS[0].parts, logs={"quay": 4.0}, stamps=DRIVER)
    answer = asked(swapped(CORNERS[0], twin))
    assert all(not cause["changes"] for cause in answer["causes"])
    assert answer["words"].startswith("No part is named: nothing on record differs between Tern and Gull")


def test_unknown_parts_are_told_and_no_cause_is_invented(stocked: Command) -> None:
    answer = stocked("causes", "quay", "--json").json
    assert {cause["standing"] for cause in answer["causes"]} <= {"one bundle", "could not be read"}
    assert any("no parts on record" in said for said in answer["caveats"])
    assert any(d["mark"] == "could not be read" and d["lacking"] == ["plover"] for d in answer["differences"])


def test_one_test_is_enough_to_be_asked(asked: Asked) -> None:
    alone = [
        Made(key=made.key, parts=made.parts, logs={"quay": made.logs["quay"]}, stamps=DRIVER)
        for made in CORNERS
    ]
    answer = asked(swapped(*alone, compared=("tern", "gull")))
    assert effects(answer)["quay", "graphics"]["standing"] == "shown"
    assert answer["words"] == "Graphics makes the difference in Quay."


def test_one_setup_alone_is_told(evenhand: Command, tmp_path: Path) -> None:
    evenhand("import", swapped(CORNERS[0]).write(tmp_path / "study"))
    refused = evenhand("causes", "mole")
    assert refused.code == 2
    assert "with nothing to hold against it no part can be named" in refused.err


def test_a_setup_that_is_none_is_refused_with_the_nearest(stocked: Command) -> None:
    refused = stocked("causes", "quay", "--pair", "wren", "plovr")
    assert refused.code == 2
    assert "did you mean 'plover'?" in refused.err


def test_clocks_and_resolutions_say_what_limits_a_test_and_tuning_is_checked(
    asked: Asked, evenhand: Command
) -> None:
    def state(key: str, clock: int, log: float) -> Made:
        stamps = {**DRIVER, "graphics clock": f"{clock} MHz"}
        logs = {"low": log, "high": log - 0.55}
        return Made(key=key, build="tern", parts=("p1", "g1"), logs=logs, state=key, stamps=stamps)

    tests = [
        scored(key, scene="the long quay", settings={"resolution": size})
        for key, size in (("low", "1920 × 1080"), ("high", "2560 × 1440"))
    ]
    answer = asked(swapped(state("stock", 2000, 4.0), state("tuned", 2200, 4.16), tests=tests))
    limits = {limit["test"]: limit for limit in answer["limits"]}
    assert {limits[test]["is"] for test in ("low", "high")} == {"graphics-limited"}
    assert {each["setting"] for each in limits["low"]["evidence"]} == {
        "pixels on Stock", "pixels on Tuned", "graphics clock",
    }  # fmt: skip
    (gain, _) = answer["tuned"][0]["pairs"][0]["gains"]
    assert gain["value"] == pytest.approx(0.16 / 0.0953, rel=0.01)
    assert gain["surely_above_one"]
    said = evenhand("causes", "mole").out
    assert said.count("Slope of the rate over pixels on Stock") == 1
    assert "High on Tern: graphics-limited. Slopes over pixels as under Low." in said
    assert said.count("Slope of the rate over graphics clock") == 2


def test_an_anchor_bridges_a_change_of_driver_and_without_one_there_is_no_ratio(asked: Asked) -> None:
    old, new = {"driver": "1"}, {"driver": "2"}
    tern = Made(key="tern", parts=("p1", "g1"), logs={"quay": 4.1, "mole": 3.1}, stamps=old)
    gull = Made(key="gull", parts=("p0", "g0"), logs={"quay": 4.0, "mole": 3.0}, stamps=new, day=7)
    anchors = (
        Made(key="wren", parts=("p2", "g2"), logs={"quay": 4.0}, stamps=old),
        Made(key="wren-2", build="wren", parts=("p2", "g2"), logs={"quay": 4.03}, stamps=new, day=7),
    )
    answer = asked(swapped(tern, gull, *anchors, compared=("tern", "gull")))
    time = answer["time"]
    assert time["changed"] == ["driver"]
    assert time["shifts"][0]["tests"]["quay"]["ratio"] == pytest.approx(1.0305, abs=2e-4)
    bridges = {bridge["test"]: bridge for bridge in time["bridges"]}
    assert bridges["quay"]["anchor"] == "wren"
    assert bridges["quay"]["effect"]["ratio"] == pytest.approx(
        1.1388, abs=2e-4
    )  # 10 % and the 3 % of the driver
    assert bridges["mole"]["effect"] is None
    assert "no setup was run under both" in bridges["mole"]["words"]
    assert "under both" in bridges["mole"]["todo"]


def test_the_chart_of_the_anchor_has_limits_from_the_fourth_day(asked: Asked) -> None:
    tern = Made(key="tern", parts=("p1", "g1"), logs={"quay": 4.1}, stamps=DRIVER, days=5)
    gull = Made(key="gull", parts=("p0", "g0"), logs={"quay": 4.0}, stamps=DRIVER, days=5)
    time = asked(swapped(tern, gull))["time"]
    (chart,) = time["control"]
    assert time["watched"] == "tern"
    assert len(chart["days"]) == 5
    assert [day["low"] is not None for day in chart["days"]] == [False, False, False, True, True]
    assert not chart["drifts"]


def test_two_resolutions_are_two_tests_and_share_no_ratio(asked: Asked, evenhand: Command) -> None:
    sides = [
        Made(key=key, parts=parts, logs={"quay": log}, stamps={**DRIVER, "resolution": size})
        for key, parts, log, size in (
            ("tern", ("p1", "g1"), 4.1, "1920 × 1080"),
            ("gull", ("p0", "g0"), 4.0, "2560 × 1440"),
        )
    ]
    answer = asked(swapped(*sides))
    (refusal,) = answer["refused"]
    assert "two different tests" in refusal["words"]
    assert [cause["standing"] for cause in answer["causes"]] == ["refused"]
    assert answer["words"] == "In Quay the two ran different tests, which may not share a ratio."
    said = evenhand("causes", "mole").out
    assert "Refused" in said
    assert "measure both with one resolution" in said.lower()
