"""A baseline over which tuning gained more than a clock can give is told as in doubt with its numbers."""

from __future__ import annotations

from pathlib import Path

import pytest
from tests.desk.swapped_folder import Made, swapped

from evenhand.desk.comparison.doubting import doubt_of
from evenhand.desk.comparison.explaining import explained
from evenhand.desk.comparison.findings_now import findings_now
from evenhand.desk.logs.importing import import_folder
from evenhand.desk.names import names_of
from evenhand.desk.on_record import StudyOnRecord, load_study
from evenhand.desk.opening import present
from evenhand.desk.pages.causes import page_of
from evenhand.desk.pages.verdict import Looked, verdict_page
from evenhand.desk.verdict.claiming import claims_of
from evenhand.desk.verdict.judged_for import judged_for
from evenhand.findings.caveats import DOUBTED
from evenhand.publish.answer import answer
from evenhand.store.workbench import Workbench
from evenhand.verdicts.claims import Kind

SAID = (
    "But Stock was not what it was said to be: another setup of the same machine gained more speed than its "
    "clock was raised by, which a clock alone cannot do."
)
PAIR = ("stock", "tuned")


def record(wb: Workbench, tmp_path: Path, *, gain: float, compared: tuple[str, ...] = PAIR) -> StudyOnRecord:
    """A processor from 4.0 to 4.2 GHz, +4.9 % in logs, whose rate gained `gain`; and another build."""

    def state(key: str, clock: int, by: float, build: str, parts: tuple[str, ...]) -> Made:
        logs = dict.fromkeys(("quay", "mole"), 4.0 + by)
        stamps = {"driver": "1", "processor clock": f"{clock} MHz"}
        return Made(key=key, build=build, state=key, parts=parts, logs=logs, stamps=stamps)

    made = (
        state("stock", 4000, 0.0, "tern", ("p0", "g0")),
        state("tuned", 4200, gain, "tern", ("p0", "g0")),
        state("other", 4000, 0.1, "gull", ("p0", "g1")),
    )
    import_folder(wb, swapped(*made, compared=compared).write(tmp_path / "study"), now=present())
    return load_study(wb, "mole")


def doubted(found: StudyOnRecord) -> list[bool]:
    return [DOUBTED in {c.key for c in finding.caveats} for finding in findings_now(found).findings]


def test_findings_and_verdicts_of_the_pair_say_so(wb: Workbench, tmp_path: Path) -> None:
    found = record(wb, tmp_path, gain=0.10)
    assert doubted(found) == [True, True]
    (audience,) = judged_for(wb, found).audiences
    (caveat,) = (c for c in audience.verdicts[0].caveats if c.key == DOUBTED)
    assert (caveat.setups, caveat.tests) == (PAIR, ("quay", "mole"))


def test_so_do_those_of_the_baseline_beside_another_build_and_not_those_of_the_tune(
    wb: Workbench, tmp_path: Path
) -> None:
    assert doubted(record(wb, tmp_path, gain=0.10, compared=("stock", "other"))) == [True, True]
    assert doubt_of(load_study(wb, "mole"), "quay", "tuned") is None


@pytest.mark.parametrize("gain", [0.04, 0.049, 0.02])
def test_a_gain_that_a_clock_can_give_is_in_no_doubt(wb: Workbench, tmp_path: Path, gain: float) -> None:
    assert doubted(record(wb, tmp_path, gain=gain)) == [False, False]


def test_causes_says_so_beside_its_answer_and_names_no_limit(wb: Workbench, tmp_path: Path) -> None:
    found = record(wb, tmp_path, gain=0.10)
    page = page_of(explained(wb, found, PAIR))
    assert page.answer.endswith(SAID)
    assert {row.says for row in page.limits} == {"Not shown"}
    assert "for each 1\u00a0% of processor clock: more than the clock did" in page.tuned[0].gains[0]


def test_no_claim_names_a_cause_from_it(wb: Workbench, tmp_path: Path) -> None:
    found = record(wb, tmp_path, gain=0.10)
    judged = judged_for(wb, found)
    claims = claims_of(wb, found, judged, judged.audiences[0], PAIR)
    assert Kind.CAUSE not in {one.standing.kind for one in claims.publishable}
    reasons = {rung.reason.key for rung in claims.ladder.rungs}
    assert "cause-doubted" in reasons


def test_the_doubt_stands_in_the_first_line_of_compare_causes_and_verdict(
    wb: Workbench, tmp_path: Path
) -> None:
    found = record(wb, tmp_path, gain=0.10)
    names = names_of(found)
    assert answer(findings_now(found), names).endswith(SAID)
    assert page_of(explained(wb, found, PAIR)).answer.endswith(SAID)
    assert verdict_page(wb, "mole", Looked()).answer.endswith(SAID)


def test_without_a_doubt_no_first_line_has_one(wb: Workbench, tmp_path: Path) -> None:
    found = record(wb, tmp_path, gain=0.03)
    assert "But" not in answer(findings_now(found), names_of(found))
    assert "But" not in verdict_page(wb, "mole", Looked()).answer
