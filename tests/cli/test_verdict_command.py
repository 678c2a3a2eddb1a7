"""verdict: for each audience how the setups stand, what the money says, and what would flip it."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import pytest
from tests.cli.conftest import Command
from tests.desk.small_folder import Folder, frame_log, frames, small_folder, weighed

from evenhand.desk.pages import verdict_rows
from evenhand.metrics.wall import WALL_KEYS


@pytest.fixture
def folder() -> Folder:
    return weighed(small_folder())


@pytest.fixture
def stocked(evenhand: Command, folder: Folder, tmp_path: Path) -> Command:
    assert evenhand("import", folder.write(tmp_path / "study")).code == 0
    return evenhand


def test_it_says_for_whom_who_is_ahead_what_it_is_worth_and_what_flips_it(
    evenhand: Command, folder: Folder, tmp_path: Path
) -> None:
    for price in folder.document["prices"]:
        price["on"] = date(2021, 5, 4)
    evenhand("import", folder.write(tmp_path / "study"))
    said = evenhand("verdict", "quay").out.replace("\u00a0", " ")
    assert "Prices of 4 May 2021: Wren 742 dl and Plover 998 dl." in said
    assert "Mostly play (games 80 %, Night render 20 %, rescaled from 4 and 1, which add up to 5)" in said
    assert "is ahead of Wren by" in said
    assert "where Plover costs 998 dl." in said
    assert "What would flip it" in said


def test_it_says_how_far_a_verdict_reaches_and_what_else_was_measured(stocked: Command) -> None:
    said = stocked("verdict", "quay").out
    assert "This verdict stands on rung " in said
    besides = said[said.index("What else was measured") :]
    assert "Wren and Plover:" in besides
    assert "Noise: At idle, nothing is told: Plover: nobody read its level." in besides
    (claims,) = stocked("verdict", "quay", "--json").json["claims"]
    assert (claims["audience"], claims["a"], claims["b"]) == ("play", "wren", "plover")
    assert claims["heading"] in said
    names = [line["name"] for line in claims["beside"]]
    assert names == ["Noise", "Heat at equal noise", "Power at the wall", "Energy for each frame"]


def test_it_tells_watts_and_what_a_frame_takes_and_json_has_both_as_findings(
    evenhand: Command, folder: Folder, tmp_path: Path
) -> None:
    runs = folder.document["runs"]
    for place, run in enumerate(runs):
        run["wall_w"] = (300.0 if run["setup"] == "plover" else 200.0) + place % 3
    evenhand("import", folder.write(tmp_path / "study"))
    said = evenhand("verdict", "quay").out
    assert "Power at the wall: In " in said
    assert "takes less energy for each frame than Plover, by 3" in said
    power = evenhand("verdict", "quay", "--json").json["power"]
    framed = {run["test"] for run in runs if "score" not in run}
    by_metric = {m: {f["test"] for f in power["findings"] if f["metric"] == m} for m in WALL_KEYS}
    assert by_metric["joules_per_frame"] == framed != by_metric["wall_w"]
    assert power["not_measured"] == []
    told = said[said.index("Energy for each frame:") :]
    assert "energy for each frame" in told.splitlines()[0]


def test_what_nobody_read_at_the_wall_is_not_measured(stocked: Command) -> None:
    assert "Energy for each frame: Not measured." in stocked("verdict", "quay").out
    power = stocked("verdict", "quay", "--json").json["power"]
    assert power["findings"] == []
    assert {each["words"] for each in power["not_measured"]} == {
        "wren and plover, each: no run that counts has watts at the wall on record"
    }


def test_where_nothing_that_was_tried_flips_a_verdict_that_is_said(
    stocked: Command, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(verdict_rows, "telling_flips", lambda *_: ())
    said = stocked("verdict", "quay").out
    after = said[said.index("What would flip it") :]
    told = "no price up to 50 % either way, no weight, no other margin up to 20 %, no test"
    asked = "who is ahead or better value"
    assert f"Nothing that was tried changes {asked}: {told}" in after.replace("\u00a0", " ")


def test_the_verdict_on_the_studys_own_weights_is_its_index(
    stocked: Command, folder: Folder, tmp_path: Path
) -> None:
    del folder.document["study"]["audiences"]
    stocked("import", folder.write(tmp_path / "again"))
    answer = stocked("verdict", "quay", "--json").json
    (audience,) = answer["audiences"]
    (verdict,) = audience["verdicts"]
    index = next(i for i in stocked("compare", "quay", "--json").json["index"] if not i["group"])
    assert audience["stand_in"] is True
    for key in ("ratio", "low", "high", "outcome"):
        assert verdict[key] == index[key], key


def test_without_prices_nothing_is_said_of_value(evenhand: Command, folder: Folder, tmp_path: Path) -> None:
    del folder.document["prices"]
    evenhand("import", folder.write(tmp_path / "study"))
    answer = evenhand("verdict", "quay", "--json").json
    verdict = answer["audiences"][0]["verdicts"][0]
    assert (verdict["value"], verdict["break_even"]) == ("unknown", None)
    assert answer["prices"]["unpriced"] == ["wren", "plover"]
    assert "No price is on record for Wren and Plover." in evenhand("verdict", "quay").out


def test_prices_in_another_currency_are_kept_apart(evenhand: Command, folder: Folder, tmp_path: Path) -> None:
    folder.document["prices"][0]["currency"] = {"symbol": "cr", "decimals": 2}
    evenhand("import", folder.write(tmp_path / "study"))
    said = evenhand("verdict", "quay").out.replace("\u00a0", " ")
    assert "Wren (742.00 cr, asked on 4 May 2031) has a price in another currency only" in said
    assert "No price is on record" not in said
    prices = evenhand("verdict", "quay", "--json").json["prices"]
    assert prices["in_other_currencies"] == ["wren"]
    assert list(prices["by_setup"]) == ["plover"]


def test_a_price_of_a_day_to_come_does_not_count_yet_and_says_so(
    evenhand: Command, folder: Folder, tmp_path: Path
) -> None:
    dated = zip(folder.document["prices"], (date(2999, 5, 4), date(2021, 5, 4)), strict=True)
    for price, day in dated:
        price["on"] = day
    evenhand("import", folder.write(tmp_path / "study"))
    said = evenhand("verdict", "quay").out.replace("\u00a0", " ")
    early = "742 dl, asked on 4 May 2999, a day still to come, counts from then on"
    assert f"Wren: {early}." in said
    assert "Prices of 4 May 2021: Plover 998 dl." in said
    prices = evenhand("verdict", "quay", "--json").json["prices"]
    assert (prices["days_to_come"], list(prices["by_setup"])) == (["wren"], ["plover"])
    assert f"Wren: {early}" in evenhand("prices", "quay").out.replace("\u00a0", " ")


def test_the_latest_price_counts(evenhand: Command, folder: Folder, tmp_path: Path) -> None:
    older = folder.document["prices"][1]
    newer = {**older, "price": 905, "on": older["on"].replace(day=9)}
    folder.document["prices"] = [newer, *folder.document["prices"]]
    evenhand("import", folder.write(tmp_path / "study"))
    prices = evenhand("verdict", "quay", "--json").json["prices"]["by_setup"]
    assert (prices["plover"]["minor"], prices["plover"]["on"]) == (905, "2031-05-09")


def test_what_an_audience_weighs_and_nobody_measured_is_told(
    evenhand: Command, folder: Folder, tmp_path: Path
) -> None:
    folder.document["study"]["audiences"][0]["properties"] = {"speed": 1, "noise": 1}
    evenhand("import", folder.write(tmp_path / "study"))
    (audience,) = evenhand("verdict", "quay", "--json").json["audiences"]
    assert audience["verdicts"][0]["outcome"] == "unsettled"
    assert any("noise" in caveat for caveat in audience["verdicts"][0]["caveats"])
    said = [
        line for line in evenhand("verdict", "quay").out.splitlines() if "no number. That is noise;" in line
    ]
    assert len(said) == 1
    assert said[0].startswith("  Wren and Plover are unsettled"), "in the first line of the pair"


def test_without_a_verdict_it_says_what_nobody_read_and_that_none_stands(
    evenhand: Command, folder: Folder, tmp_path: Path
) -> None:
    (audience,) = folder.document["study"]["audiences"]
    watts = {**audience, "key": "watts", "name": "Watts alone", "properties": {"power": 1}}
    folder.document["study"]["audiences"].append(watts)
    evenhand("import", folder.write(tmp_path / "study"))
    lines = evenhand("verdict", "quay", "--audience", "watts").out.splitlines()
    at = next(i for i, line in enumerate(lines) if "no verdict" in line)
    assert lines[at].endswith("since nobody read the watts of both in a test that is weighed.")
    assert lines[at + 1].strip() == "No verdict stands."
    assert (
        lines[at + 2].strip().startswith("The index over all tests stands by itself: “Over these three tests")
    )
    answer = evenhand("verdict", "quay", "--json").json
    assert [each["heading"] for each in answer["claims"]] == [
        "This verdict stands on rung 2: these tests",
        "No verdict stands",
    ]
    assert "watts" in answer["audiences"][1]["no_verdict"][0]["words"]


def test_no_worth_is_told_where_nothing_is_called(evenhand: Command, folder: Folder, tmp_path: Path) -> None:
    folder.document["study"]["audiences"][0]["properties"] = {"speed": 1, "noise": 1}
    evenhand("import", folder.write(tmp_path / "study"))
    said = evenhand("verdict", "quay").out
    assert "is worth" not in said
    assert "Too much of the weight has no number, so nothing is said of value." in said
    (audience,) = evenhand("verdict", "quay", "--json").json["audiences"]
    assert (audience["verdicts"][0]["value"], audience["verdicts"][0]["break_even"]) == ("unknown", None)


def test_the_price_alone_is_no_audience(evenhand: Command, folder: Folder, tmp_path: Path) -> None:
    folder.document["study"]["audiences"][0]["properties"] = {"price": 1}
    refused = evenhand("import", folder.write(tmp_path / "study"))
    assert refused.code != 0
    assert (
        "by the price alone it is only the cheaper one: nothing that is measured counts"
        in refused.out + refused.err
    )


def with_a_third(folder: Folder) -> Folder:
    """The same with Dunlin, which is quicker than both in every test and the dearest by far."""
    folder.document["builds"].append({"key": "dunlin", "name": "Dunlin", "slot": 3})
    folder.document["setups"].append({"key": "dunlin", "build": "dunlin"})
    folder.document["prices"].append({**folder.document["prices"][0], "build": "dunlin", "price": 2400})
    for number in (1, 2, 3):
        about = {"setup": "dunlin", "boot": f"dunlin-{number}", "order": 18 + number, "ambient_c": 23.2}
        for test, fps in (("causeway", 150.0), ("tramlines", 110.0)):
            name = f"logs/dunlin-{test}-{number}.csv"
            folder.files[name] = frame_log(frames(fps, seed=[9, number, int(fps)]))  # type: ignore[arg-type]
            folder.runs.append({"test": test, "label": f"dunlin {test} {number}", "log": name, **about})
        score = {"test": "render", "label": f"dunlin render {number}", "score": 8.0 + 0.03 * number}
        folder.runs.append(score | about)
    return folder


def test_of_three_it_opens_with_who_is_ahead_of_all_and_by_value(
    evenhand: Command, folder: Folder, tmp_path: Path
) -> None:
    assert evenhand("import", with_a_third(folder).write(tmp_path / "study")).code == 0
    lines = evenhand("verdict", "quay").out.splitlines()
    at = next(i for i, line in enumerate(lines) if line.startswith("Mostly play ("))
    assert lines[at + 1] == (
        "  Of all three: Dunlin is ahead of both others, but Wren is the better value beside every other."
    )
    (audience,) = evenhand("verdict", "quay", "--json").json["audiences"]
    told = audience["among"]
    assert (told["first"], told["unbeaten"], told["value"]["first"]) == ("dunlin", ["dunlin"], "wren")
    assert lines[at + 1] == f"  Of all three: {told['words']}."


def test_of_two_the_pair_says_it_all(stocked: Command) -> None:
    assert "Of all" not in stocked("verdict", "quay").out
    assert stocked("verdict", "quay", "--json").json["audiences"][0]["among"] is None


def test_an_unknown_audience_is_refused_with_the_nearest(stocked: Command) -> None:
    refused = stocked("verdict", "quay", "--audience", "plai")
    assert refused.code == 2
    assert "did you mean 'play'?" in refused.err
