"""What a study's counting runs say, for programs and spreadsheets."""

from __future__ import annotations

from typing import Any
from urllib.parse import quote

from fastapi import APIRouter, Depends
from fastapi.responses import Response

from evenhand.desk.comparison.causes_answers import causes_answer
from evenhand.desk.comparison.comparing import compared_answer, frozen_answer, look
from evenhand.desk.comparison.explaining import chosen_pair, explained
from evenhand.desk.comparison.findings_now import findings_now
from evenhand.desk.comparison.findings_table import findings_csv
from evenhand.desk.comparison.other_evidence import other_evidence
from evenhand.desk.on_record import load_study
from evenhand.desk.verdict.claims_answers import claims_answer, claims_told, power_answer
from evenhand.desk.verdict.judged_for import judged_for, two_at_once
from evenhand.desk.verdict.verdict_answers import judgement_answer
from evenhand.web.hidden import HIDDEN, study_in_sight
from evenhand.web.site import Here

router = APIRouter(
    prefix="/api/studies/{study}",
    tags=["Findings"],
    dependencies=[Depends(study_in_sight)],
    responses=HIDDEN,
)


@router.get("/findings")
def findings(site: Here, study: str) -> dict[str, Any]:
    """Everything the study says, in the shape of `evenhand compare --json`.

    Nothing is frozen by asking; `frozen` names the result that says the same, or is null.
    """
    found = site.wb.lately(("findings", study), lambda: look(site.wb, study))
    return {**compared_answer(found), "frozen": frozen_answer(found)}


@router.get("/verdict")
def verdict(site: Here, study: str, *, two: bool = False) -> dict[str, Any]:
    """For every audience how the setups stand and what flips it, in the shape of `evenhand verdict --json`.

    With `two` also what two changes together would flip, which takes longer.
    """
    record = load_study(site.wb, study)
    found = judged_for(site.wb, record)
    together = {each.audience.key: two_at_once(site.wb, record, each) for each in found.audiences if two}
    told = {
        "power": power_answer(other_evidence(site.wb, record).power),
        "claims": claims_answer(claims_told(site.wb, record, found)),
    }
    return judgement_answer(found, record, together if two else None) | told


@router.get("/causes")
def causes(site: Here, study: str, pair: str = "") -> dict[str, Any]:
    """Which part made the difference between two setups, in the shape of `evenhand causes --json`.

    `pair` names two setups with a ~ between; the first two compared where it is left out.
    """
    record = load_study(site.wb, study)
    asked = chosen_pair(record, tuple(pair.split("~")) if pair else ())
    return causes_answer(explained(site.wb, record, asked))


@router.get("/findings.csv", response_class=Response, responses={200: {"content": {"text/csv": {}}}})
def findings_table(site: Here, study: str) -> Response:
    """Every finding as a row; an apostrophe stands before text that a spreadsheet would work out."""
    record = load_study(site.wb, study)
    name = f"attachment; filename*=UTF-8''{quote(record.study.key)}-findings.csv"
    text = findings_csv(record, findings_now(record))
    return Response(text, media_type="text/csv; charset=utf-8", headers={"content-disposition": name})
