"""An anchor that drifts: told wherever a number stands on it, and allowed for."""

from __future__ import annotations

import math
from collections.abc import Mapping
from pathlib import Path

from tests.desk.swapped_folder import Made, swapped

from evenhand.desk.comparison.anchoring import across_time
from evenhand.desk.comparison.explaining import explained
from evenhand.desk.comparison.findings_now import findings_now
from evenhand.desk.logs.importing import import_folder
from evenhand.desk.on_record import StudyOnRecord, load_study
from evenhand.desk.opening import present
from evenhand.desk.pages.causes import page_of
from evenhand.desk.pages.causes_time import OWN_SPREAD
from evenhand.desk.pages.compare import compare_page
from evenhand.desk.pages.compare_choice import Asked
from evenhand.desk.pages.verdict import Looked, verdict_page
from evenhand.desk.verdict.claiming import claims_of
from evenhand.desk.verdict.judged_for import judged_for
from evenhand.findings.bridges import Bridged
from evenhand.findings.drifting import DRIFTS
from evenhand.findings.finding import Outcome
from evenhand.publish.time_words import bridge_sentence
from evenhand.store.workbench import Workbench
from evenhand.verdicts.allowing import ALLOWANCE, DRIFT

TESTS = ("quay", "mole", "pier")
OLD, NEW = {"driver": "1"}, {"driver": "2"}
SAID = "But Wren, run before and since, drifts from day to day: nothing is called that its drift could make."


def record(wb: Workbench, tmp_path: Path, a_day: Mapping[str, float], *, lead: float = 0.0) -> StudyOnRecord:
    """Tern before and gull since, `lead` apart; wren, which bridges, loses `a_day` on each of five old days.

    Since then it stays where it was at the end, and the driver does nothing.
    """
    logs = dict.fromkeys(TESTS, 4.0)
    ends = {test: 4.0 - 4 * a_day.get(test, 0.0) for test in TESTS}
    ahead = dict.fromkeys(TESTS, 4.0 + lead)
    folder = swapped(
        Made(key="tern", parts=("g1",), logs=logs, stamps=OLD, days=5),
        Made(key="wren", parts=("g2",), logs=logs, stamps=OLD, days=5),
        Made(key="gull", parts=("g0",), logs=ahead, stamps=NEW, day=6, days=5),
        Made(key="wren-2", build="wren", parts=("g2",), logs=ends, stamps=NEW, day=6, days=5),
        compared=("gull", "tern"),
    )
    for run in folder.document["runs"]:
        if run["setup"] == "wren":
            day = int(run["label"].split()[-1]) - 1
            less = day * a_day.get(run["test"], 0.0)
            run["score"] = round(run["score"] * math.exp(-less), 6)
    import_folder(wb, folder.write(tmp_path / "study"), now=present())
    return load_study(wb, "mole")


def keys_of(found: StudyOnRecord) -> list[bool]:
    return [DRIFTS in {c.key for c in finding.caveats} for finding in findings_now(found).findings]


EVERYWHERE = dict.fromkeys(TESTS, 0.02)


def test_nothing_is_called_that_the_drift_of_the_anchor_could_make(wb: Workbench, tmp_path: Path) -> None:
    found = record(wb, tmp_path, EVERYWHERE)
    comparison = findings_now(found)
    (audience,) = judged_for(wb, found).audiences
    called = [*comparison.findings, *comparison.indexes, *audience.verdicts]
    assert {each.outcome for each in called} == {Outcome.UNSETTLED}
    assert all(abs(math.log(each.ratio or 0)) > 0.03 for each in called)
    claims = claims_of(wb, found, judged_for(wb, found), audience, ("gull", "tern"))
    assert not [one for one in claims.publishable if "ahead" in one.said.told(claims.voice)]


def test_finding_index_and_verdict_say_so_with_what_is_allowed(wb: Workbench, tmp_path: Path) -> None:
    found = record(wb, tmp_path, EVERYWHERE)
    comparison = findings_now(found)
    (audience,) = judged_for(wb, found).audiences
    assert keys_of(found) == [True, True, True]
    assert DRIFTS in {c.key for c in comparison.indexes[0].caveats}
    keys = [c.key for c in audience.verdicts[0].caveats]
    assert DRIFTS in keys
    assert DRIFT in keys
    assert ALLOWANCE not in keys
    assert ALLOWANCE not in {c.key for c in comparison.indexes[0].caveats}


def test_a_lead_beyond_what_the_drift_could_make_is_called_and_its_sentences_say_so(
    wb: Workbench, tmp_path: Path
) -> None:
    found = record(wb, tmp_path, EVERYWHERE, lead=0.6)
    assert {f.outcome for f in findings_now(found).findings} == {Outcome.AHEAD}
    judged = judged_for(wb, found)
    claims = claims_of(wb, found, judged, judged.audiences[0], ("gull", "tern"))
    said = [one.said.told(claims.voice) for one in claims.publishable]
    bridged = [words for words in said if "bridged by Wren" in words]
    assert len(bridged) >= 4
    assert [words for words in bridged if "; Wren did not read alike from day to day." not in words] == []


def test_a_drift_that_is_sure_in_some_tests_is_trusted_in_none(wb: Workbench, tmp_path: Path) -> None:
    found = record(wb, tmp_path, {"quay": 0.02, "mole": 0.02})
    assert keys_of(found) == [True, True, True]
    (told,) = (
        c for f in findings_now(found).findings if f.test == "pier" for c in f.caveats if c.key == DRIFTS
    )
    assert "as its other tests show" in told.words


def test_a_steady_anchor_bridges_as_before(wb: Workbench, tmp_path: Path) -> None:
    found = record(wb, tmp_path, {}, lead=0.1)
    assert keys_of(found) == [False, False, False]
    assert {f.outcome for f in findings_now(found).findings} == {Outcome.AHEAD}
    assert SAID not in verdict_page(wb, "mole", Looked()).answer


def test_the_first_lines_say_so(wb: Workbench, tmp_path: Path) -> None:
    found = record(wb, tmp_path, EVERYWHERE)
    assert compare_page(wb, "mole", Asked()).answer.endswith(SAID)
    assert verdict_page(wb, "mole", Looked()).answer.endswith(SAID)
    assert page_of(explained(wb, found, ("gull", "tern"))).answer.endswith(SAID)


def test_causes_says_so_in_the_row_of_the_bridge_and_of_the_shift(wb: Workbench, tmp_path: Path) -> None:
    found = record(wb, tmp_path, EVERYWHERE)
    time = across_time(found, ("gull", "tern"))
    names = explained(wb, found, ("gull", "tern")).names
    rows = [bridge_sentence(each, names) for each in time.bridges if isinstance(each, Bridged)]
    assert len(rows) == 3
    assert all(row.endswith("; but the anchor drifts, which is allowed for.") for row in rows)
    (crossed,) = time.crossed
    shifts = [crossed.common, *(shift.effect for shift in crossed.shifts)]
    assert {effect.outcome for effect in shifts if effect} == {Outcome.UNSETTLED}


def test_what_is_allowed_grows_with_the_days_between(wb: Workbench, tmp_path: Path) -> None:
    near = findings_now(record(wb, tmp_path, EVERYWHERE)).findings[0]
    allowed = math.log(near.high or 0) - math.log(near.ratio or 0)
    widest = math.log(near.bound_high or 0) - math.log(near.ratio or 0)
    assert 6 * 0.02 < widest - allowed < 6 * 0.03


def test_the_row_of_a_bridge_names_what_came_first_first(wb: Workbench, tmp_path: Path) -> None:
    found = record(wb, tmp_path, {}, lead=0.1)
    for pair in (("gull", "tern"), ("tern", "gull")):
        (first, *_) = (each for each in across_time(found, pair).bridges if isinstance(each, Bridged))
        assert "run under driver 1 and under driver 2" in first.effect.caveats[-1].words


def test_the_shift_of_an_anchor_says_why_the_same_change_has_another_interval_above(
    wb: Workbench, tmp_path: Path
) -> None:
    page = page_of(explained(wb, record(wb, tmp_path, {}, lead=0.1), ("gull", "tern")))
    assert page.time is not None
    assert page.time.spread == OWN_SPREAD
    pair = page_of(explained(wb, load_study(wb, "mole"), ("wren", "tern")))
    assert pair.time is not None
    assert pair.time.spread == ""
