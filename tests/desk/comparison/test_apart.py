"""Two machines that were never run under one driver: uncalled everywhere, with the reason and what to do."""

from __future__ import annotations

import math
from pathlib import Path

import pytest
from tests.desk.swapped_folder import Made, scored, swapped

from evenhand.desk.comparison.anchoring import across_time
from evenhand.desk.comparison.findings_now import comparison_now, findings_now, left_out
from evenhand.desk.logs.importing import import_folder
from evenhand.desk.on_record import load_study
from evenhand.desk.opening import present
from evenhand.desk.pages.compare import compare_page
from evenhand.desk.pages.compare_choice import Asked
from evenhand.desk.pages.verdict import Looked, verdict_page
from evenhand.desk.verdict.claiming import claims_of
from evenhand.desk.verdict.judged_for import judged_for
from evenhand.desk.verdict.verdict_answers import judgement_answer
from evenhand.findings.bridges import Bridged
from evenhand.store.workbench import Workbench

LOGS = {"quay": 4.0, "mole": 3.0}
TERN = Made(
    key="tern", parts=("g1",), logs={test: log + 0.1 for test, log in LOGS.items()}, stamps={"driver": "1"}
)
GULL = Made(key="gull", parts=("g0",), logs=LOGS, stamps={"driver": "2"}, day=3)
ANCHORS = (
    Made(key="wren", parts=("g2",), logs=LOGS, stamps={"driver": "1"}),
    Made(key="wren-2", build="wren", parts=("g2",), logs=LOGS, stamps={"driver": "2"}, day=3),
)
SHIFTED = {test: log + 0.04 for test, log in LOGS.items()}
FASTER = Made(key="gull", parts=("g0",), logs=SHIFTED, stamps={"driver": "2"}, day=3)
BRIDGE = (
    ANCHORS[0],
    Made(key="wren-2", build="wren", parts=("g2",), logs=SHIFTED, stamps={"driver": "2"}, day=3),
)
WHY = "measured under driver 1 on Tern and under driver 2 on Gull: no ratio may be formed"


def brought(wb: Workbench, tmp_path: Path, *setups: Made) -> None:
    folder = swapped(*setups, compared=("tern", "gull"))
    import_folder(wb, folder.write(tmp_path / "study"), now=present())


def test_without_a_bridge_no_finding_no_index_and_no_verdict_has_a_number(
    wb: Workbench, tmp_path: Path
) -> None:
    brought(wb, tmp_path, TERN, GULL)
    record = load_study(wb, "mole")
    found = findings_now(record)
    assert [finding.ratio for finding in found.findings] == [None, None]
    assert found.indexes == ()
    (audience,) = judgement_answer(judged_for(wb, record), record)["audiences"]
    assert audience["verdicts"] == []
    assert WHY in audience["no_verdict"][0]["words"]


def test_compare_and_verdict_open_with_the_reason(wb: Workbench, tmp_path: Path) -> None:
    brought(wb, tmp_path, TERN, GULL)
    assert WHY in compare_page(wb, "mole", Asked()).answer
    assert WHY in verdict_page(wb, "mole", Looked()).answer


def test_with_a_bridge_what_the_change_did_is_taken_out_of_compare_and_verdict(
    wb: Workbench, tmp_path: Path
) -> None:
    brought(wb, tmp_path, TERN, FASTER, *BRIDGE)
    record = load_study(wb, "mole")
    found = findings_now(record)
    assert [math.log(f.ratio or 0) for f in found.findings] == pytest.approx([0.1, 0.1], abs=0.01)
    (audience,) = judgement_answer(judged_for(wb, record), record)["audiences"]
    (verdict,) = audience["verdicts"]
    assert (verdict["outcome"], verdict["bridged_by"]) == ("ahead", ["wren"])
    assert math.log(verdict["ratio"]) == pytest.approx(0.1, abs=0.01)


def test_a_bridge_is_named_wherever_its_number_is_told(wb: Workbench, tmp_path: Path) -> None:
    brought(wb, tmp_path, TERN, FASTER, *BRIDGE)
    record = load_study(wb, "mole")
    judged = judged_for(wb, record)
    (audience,) = judgement_answer(judged, record)["audiences"]
    assert ", bridged by Wren" in audience["verdicts"][0]["words"]
    assert "bridged by Wren" in compare_page(wb, "mole", Asked()).answer
    assert "bridged by Wren" in verdict_page(wb, "mole", Looked()).answer
    claims = claims_of(wb, record, judged, judged.audiences[0], ("tern", "gull"))
    said = [one.said.told(claims.voice) for one in claims.publishable]
    ahead = [words for words in said if "Tern is ahead of" in words or "puts Tern ahead of" in words]
    assert len(ahead) >= 5
    assert not any("driver" in one.said.told(claims.voice) for one in claims.refused)
    assert [words for words in ahead if ", bridged by Wren" not in words] == []


def test_causes_and_compare_say_the_same_of_a_bridged_pair(wb: Workbench, tmp_path: Path) -> None:
    brought(wb, tmp_path, TERN, FASTER, *BRIDGE)
    record = load_study(wb, "mole")
    told = [
        each.effect for each in across_time(record, ("tern", "gull")).bridges if isinstance(each, Bridged)
    ]
    found = findings_now(record).findings
    assert [(f.ratio, f.low, f.high) for f in found] == [
        pytest.approx((e.ratio, e.low, e.high)) for e in told
    ]


def test_one_machine_under_two_drivers_is_a_question_and_is_called(wb: Workbench, tmp_path: Path) -> None:
    before, after = ANCHORS
    folder = swapped(before, after, compared=("wren", "wren-2"))
    import_folder(wb, folder.write(tmp_path / "study"), now=present())
    assert None not in [finding.ratio for finding in findings_now(load_study(wb, "mole")).findings]


def test_a_run_left_out_for_its_version_would_give_no_ratio_if_it_were_put_back(
    wb: Workbench, tmp_path: Path
) -> None:
    folder = swapped(TERN, Made(key="gull", parts=("g0",), logs=LOGS, stamps={"driver": "1"}),
                     tests=[scored(test, version="1.0") for test in LOGS])  # fmt: skip
    for run in folder.document["runs"]:
        run["stamps"] = {"version": "1.1" if run["setup"] == "gull" else "1.0"}
    import_folder(wb, folder.write(tmp_path / "study"), now=present())
    record = load_study(wb, "mole")
    left = list(left_out(record))
    assert {(run.setup, run.says, run.fixes) for run in left} == {
        ("gull", (("version", ("1.1",)),), ("version",))
    }
    seen = comparison_now(record).exclusions
    assert {finding.ratio for each in seen for finding in each.findings_with} == {None}
    (audience,) = judgement_answer(judged_for(wb, record), record)["audiences"]
    assert audience["no_verdict"][0]["words"] == (
        "Tern and Gull: no verdict, since runs of both count in nothing that is weighed."
    )
