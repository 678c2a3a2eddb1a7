"""Verdicts of a study as it lies on the workbench: audiences, prices, noise, and what is lacking."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from datetime import timedelta
from pathlib import Path

import pytest
from tests.desk.small_folder import NOW, Folder, small_folder, weighed

from evenhand.desk.latest import Latest
from evenhand.desk.logs.importing import import_folder
from evenhand.desk.on_record import StudyOnRecord, load_study
from evenhand.desk.pages.causes import causes_page
from evenhand.desk.pages.verdict import Looked, verdict_page
from evenhand.desk.pages.verdict_reserved import unflipped_of
from evenhand.desk.pages.verdict_two import two_page
from evenhand.desk.verdict.claiming import claims_of
from evenhand.desk.verdict.judged import ForAudience, Judgement, Turning
from evenhand.desk.verdict.judged_for import ALIKE, LATELY, judged_for, two_at_once
from evenhand.desk.verdict.verdict_answers import judgement_answer
from evenhand.errors import BadRecord, NotFound
from evenhand.findings.fairness import NOTHING_DIFFERS
from evenhand.findings.finding import Caveat, Outcome
from evenhand.money.break_even import Value
from evenhand.records.audiences import Property
from evenhand.store.workbench import Workbench
from evenhand.verdicts.moves import Flip, Lever
from evenhand.verdicts.others import Other


@pytest.fixture
def folder() -> Folder:
    return weighed(small_folder())


def judged(wb: Workbench, folder: Folder, place: Path) -> tuple[StudyOnRecord, Judgement]:
    import_folder(wb, folder.write(place / "study"), now=NOW)
    record = load_study(wb, "quay")
    return record, judged_for(wb, record)


def test_each_audience_has_a_verdict_on_each_pair_with_its_flips(
    wb: Workbench, folder: Folder, tmp_path: Path
) -> None:
    record, found = judged(wb, folder, tmp_path)
    (play,) = found.audiences
    verdict = play.verdict("wren", "plover")
    assert verdict is not None
    assert verdict.outcome is Outcome.BEHIND
    assert verdict.prices == (742, 998)
    assert play.flips
    assert two_at_once(wb, record, play)
    assert play.wobbles[("wren", "plover")] is not None


def test_two_other_definitions_are_looked_at_together(
    wb: Workbench, folder: Folder, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    record, found = judged(wb, folder, tmp_path)
    asked: list[tuple[str, str]] = []

    def listening(*_: object, two_others: tuple[tuple[Other, Other, Other], ...]) -> tuple[Flip, ...]:
        asked.extend((one.name, then.name) for one, then, _ in two_others)
        return ()

    monkeypatch.setattr("evenhand.desk.verdict.judged_for.joint_flips", listening)
    monkeypatch.setattr("evenhand.desk.verdict.judged_for.LATELY", Latest(1))
    two_at_once(wb, record, found.audiences[0])
    assert asked == [("causeway", "tramlines")]


def test_the_same_question_has_the_same_answer(wb: Workbench, folder: Folder, tmp_path: Path) -> None:
    record, found = judged(wb, folder, tmp_path)
    assert judged_for(wb, record) == found


def test_a_study_without_audiences_stands_on_its_own_weights(
    wb: Workbench, folder: Folder, tmp_path: Path
) -> None:
    folder.document["study"] |= {"audiences": [], "weights": {"causeway": 3.0}}
    _, found = judged(wb, folder, tmp_path)
    (alike,) = found.audiences
    assert (found.stand_in, alike.audience.key) == (True, ALIKE)
    assert alike.audience.tests["causeway"] == 3.0


def test_a_newer_price_counts_from_its_day_on(wb: Workbench, folder: Folder, tmp_path: Path) -> None:
    earlier, later = (NOW - timedelta(days=5)).date(), NOW.date()
    for price in folder.document["prices"]:
        price["on"] = earlier
    folder.document["prices"].append({"build": "wren", "price": 1300, "on": later})
    _, found = judged(wb, folder, tmp_path)
    verdict = found.audiences[0].verdict("wren", "plover")
    assert verdict is not None
    assert verdict.prices == (1300, 998)
    assert verdict.value is Value.B
    assert found.paid.days == (earlier, later)


def test_lows_and_noise_weigh_where_an_audience_asks_for_them(
    wb: Workbench, folder: Folder, tmp_path: Path
) -> None:
    folder.document["study"]["audiences"][0]["properties"] = {"speed": 1, "lows": 1, "noise": 1}
    readings = [
        ("wren", 36.0),
        ("wren", 36.4),
        ("wren", 36.2),
        ("plover", 46.1),
        ("plover", 46.5),
        ("plover", 46.0),
    ]
    folder.document["sound"] = [
        {"setup": setup, "level_db": level, "background_db": 24.0} for setup, level in readings
    ]
    _, found = judged(wb, folder, tmp_path)
    verdict = found.audiences[0].verdict("wren", "plover")
    assert verdict is not None
    assert {of for _, of in verdict.shares} == {Property.SPEED, Property.LOWS, Property.NOISE}
    assert verdict.shares["", Property.NOISE] == pytest.approx(1 / 3)
    assert verdict.ratio > 1  # slower, but half as loud


def test_power_nobody_read_is_told_with_its_share(wb: Workbench, folder: Folder, tmp_path: Path) -> None:
    folder.document["study"]["audiences"][0]["properties"] = {"speed": 1, "power": 1}
    _, found = judged(wb, folder, tmp_path)
    verdict = found.audiences[0].verdict("wren", "plover")
    assert verdict is not None
    assert verdict.outcome is Outcome.UNSETTLED
    assert any(caveat.key == "not-measured" for caveat in verdict.caveats)


def test_an_unknown_of_a_tenth_is_no_chance_but_has_a_size_at_which_it_turns(
    wb: Workbench, folder: Folder, tmp_path: Path
) -> None:
    folder.document["study"]["audiences"][0]["properties"] = {"speed": 9, "power": 1}
    record, found = judged(wb, folder, tmp_path)
    play = found.audiences[0]
    verdict = play.verdict("wren", "plover")
    assert verdict is not None
    assert (verdict.unknown, verdict.outcome) == ((Property.POWER,), Outcome.BEHIND)
    assert play.wobbles["wren", "plover"] is None
    page = verdict_page(wb, "quay", Looked())
    assert page.audiences is not None
    said = page.audiences.rows[0].firmly
    assert said.startswith("No chance is told, since power has no number. Wren")
    assert "would be in front if it were better there by" in said
    lacks = "10\u00a0% of the weight has no number"
    assert page.read.endswith(f". {lacks}.")
    assert page.audiences.rows[0].row.interval.endswith(f"; {lacks}")
    assert page.weight is not None
    assert page.weight.about.endswith(f". {lacks}")
    answer = judgement_answer(found, record)["audiences"][0]["verdicts"][0]
    assert answer["wobble"] is None
    assert answer["ratio"] == verdict.ratio


def test_what_nobody_ran_is_never_spoken_for_by_the_rest(
    wb: Workbench, folder: Folder, tmp_path: Path
) -> None:
    """Half of the weight is on a test without runs: no curve, no chance, no number, nothing it leans on."""
    folder.document["study"]["audiences"][0] |= {"groups": {}, "tests": {"causeway": 1, "render": 1}}
    folder.document["runs"] = [run for run in folder.document["runs"] if run["test"] != "render"]
    _, found = judged(wb, folder, tmp_path)
    assert found.audiences[0].wobbles["wren", "plover"] is None
    page = verdict_page(wb, "quay", Looked())
    assert page.weight is None
    assert page.read.endswith("are unsettled: 50\u00a0% of the weight has no number.")
    assert page.audiences is not None
    assert page.audiences.rows[0].firmly == ""
    shown = page.audiences.rows[0].row
    assert "50\u00a0% of the weight has no number" in f"{shown.state} {shown.interval}"
    assert "+" not in shown.interval
    assert not any("leans" in line for line in page.reservations)
    assert page.claims is not None
    assert page.claims.heading == "No verdict stands on these tests yet"
    assert not [rung.name for rung in page.claims.rungs[:4] if rung.sort]
    answer = judgement_answer(found, load_study(wb, "quay"))["audiences"][0]["verdicts"][0]
    ends = ("ratio", "low", "high", "bound_low", "bound_high", "p_holm")
    assert [answer[each] for each in ends] == [None] * 6
    assert not any("more than half" in caveat for caveat in answer["caveats"])


def test_nothing_turns_a_machine_beside_itself(
    wb: Workbench, folder: Folder, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    record, found = judged(wb, folder, tmp_path)
    assert found.audiences[0].flips
    alike = Caveat(key=NOTHING_DIFFERS, words="nothing differs", setups=("wren", "plover"))
    known = {("wren", "plover"): (alike,)}
    monkeypatch.setattr("evenhand.desk.verdict.judged_for.known_of", lambda *_: known)
    (play,) = judged_for(wb, record).audiences
    assert (play.flips, two_at_once(wb, record, play), play.wobbles["wren", "plover"]) == ((), (), None)
    page = verdict_page(wb, "quay", Looked())
    assert page.reservations[0] == "Nothing differs."
    assert page.unflipped is not None
    assert (page.unflipped.heading, page.unflipped.two) == ("Nothing can flip it", False)


def test_where_nothing_flips_it_it_is_said_for_what_was_looked(
    wb: Workbench, folder: Folder, tmp_path: Path
) -> None:
    _, found = judged(wb, folder, tmp_path)
    verdict = found.audiences[0].verdicts[0]
    tried = {(verdict.a, verdict.b): frozenset({Lever.MARGIN})}
    here = replace(found.audiences[0], turning=lambda: Turning(tried=tried))
    asked = "who is ahead or better value"
    assert f"None of it changes {asked}. There was" in unflipped_of(verdict, here).words
    silent = replace(verdict, value=Value.UNKNOWN)
    assert "None of it changes who is ahead. There was" in unflipped_of(silent, here).words


def test_where_too_much_has_no_number_the_place_of_the_lead_says_so(
    wb: Workbench, folder: Folder, tmp_path: Path
) -> None:
    folder.document["study"]["audiences"][0]["properties"] = {"speed": 1, "noise": 1}
    judged(wb, folder, tmp_path)
    page = verdict_page(wb, "quay", Looked())
    assert (page.weight, page.no_weight[0]) == (None, "No lead to be shown")
    assert page.money is not None
    assert (page.money.band, page.money.per_money) == (None, None)
    assert page.money.lacking == "Too much of the weight has no number, so nothing is said of value."


def test_one_audience_may_be_asked_for_by_its_key_and_no_other_is_worked_out(
    wb: Workbench, folder: Folder, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    (play,) = folder.document["study"]["audiences"]
    watts = {**play, "key": "watts", "properties": {"power": 1, "speed": 1}}
    folder.document["study"]["audiences"].append(watts)
    record, found = judged(wb, folder, tmp_path)
    asked: list[str] = []

    def lately(said: object, make: Callable[[], ForAudience]) -> ForAudience:
        asked.append((made := make()).audience.key)
        return made

    monkeypatch.setattr(LATELY, "of", lately)
    (alone,) = judged_for(wb, record, only="play").audiences
    assert alone.verdicts == found.audiences[0].verdicts, "its numbers are those it has among others"
    assert asked == ["play"]
    with pytest.raises(NotFound, match="did you mean 'play'"):
        judged_for(wb, record, only="plya")


def test_a_test_that_carries_more_than_half_is_told(wb: Workbench, folder: Folder, tmp_path: Path) -> None:
    folder.document["study"]["audiences"][0] |= {"groups": {}, "tests": {"render": 9, "causeway": 1}}
    _, found = judged(wb, folder, tmp_path)
    verdict = found.audiences[0].verdict("wren", "plover")
    assert verdict is not None
    assert any(caveat.key == "dominates" for caveat in verdict.caveats)


def test_a_study_with_one_test_has_a_verdict_and_no_weight_to_move(
    wb: Workbench, folder: Folder, tmp_path: Path
) -> None:
    folder.document["study"] |= {"tests": ["causeway"], "audiences": []}
    judged(wb, folder, tmp_path)
    page = verdict_page(wb, "quay", Looked())
    assert page.weight is None
    assert page.sliders == ()
    assert "Plover" in page.answer


def test_a_study_without_runs_says_that_no_verdict_is_due(
    wb: Workbench, folder: Folder, tmp_path: Path
) -> None:
    folder.document["runs"] = []
    judged(wb, folder, tmp_path)
    page = verdict_page(wb, "quay", Looked())
    assert page.audiences is None
    assert page.answer.startswith("Nothing has been measured yet")


def test_weights_that_are_tried_on_must_not_all_be_0(wb: Workbench, folder: Folder, tmp_path: Path) -> None:
    folder.document["study"]["audiences"][0] |= {
        "groups": {},
        "tests": {"render": 1, "causeway": 1, "tramlines": 1},
    }
    judged(wb, folder, tmp_path)
    with pytest.raises(BadRecord, match="all weights are 0"):
        verdict_page(wb, "quay", Looked(weights={"render": 0, "causeway": 0, "tramlines": 0}))


def test_what_may_be_published_rests_on_the_audience_that_is_looked_at(
    wb: Workbench, folder: Folder, tmp_path: Path
) -> None:
    record, found = judged(wb, folder, tmp_path)
    claims = claims_of(wb, record, found, found.audiences[0], ("wren", "plover"))
    told = [sentence.said.told(claims.voice) for sentence in claims.publishable]
    assert told[0].startswith("For Mostly play, Plover is ahead of Wren by ")
    refused = [sentence.said.told(claims.voice) for sentence in claims.refused]
    assert "Plover will last, and is future-proof." in refused


def test_runs_of_other_days_are_told_with_verdict_and_causes(
    wb: Workbench, folder: Folder, tmp_path: Path
) -> None:
    """Wren was run on three days, Plover on the first of them alone."""
    for run in folder.document["runs"]:
        day = int(run["boot"].rsplit("-", 1)[1]) if run["setup"] == "wren" else 1
        run["started_at"] = NOW + timedelta(days=day, minutes=run["order"])
    judged(wb, folder, tmp_path)
    told = "Wren was also run on 2 days without Plover: what changes from day to day is in the difference."
    assert told in verdict_page(wb, "quay", Looked()).reservations
    time = causes_page(wb, "quay").time
    assert time is not None
    assert "days" in time.changed
    assert "differ" in time.changed


def test_where_no_two_changes_flip_it_what_was_tried_is_told(
    wb: Workbench, folder: Folder, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    judged(wb, folder, tmp_path)
    monkeypatch.setattr("evenhand.desk.pages.verdict_two.two_at_once", lambda *_: ())
    page = two_page(wb, "quay", Looked())
    assert page.answer.endswith("turn more between Wren and Plover than one alone would.")
    assert page.about.endswith(", every two of them, for who is ahead or better value.")
    assert page.heading == "No two changes together flip more than one would"
    found = judged_for(wb, load_study(wb, "quay"))
    monkeypatch.setattr(
        "evenhand.desk.pages.verdict_two.judged_for",
        lambda *_: replace(found, audiences=(replace(found.audiences[0], turning=Turning),)),
    )
    page = two_page(wb, "quay", Looked())
    assert page.answer.endswith(
        "no two changes together change who is ahead or better value between Wren and Plover."
    )
    assert page.heading == "No two changes together flip it either"
