"""Parts, what is known of them and whether builds fit: for programs the answers of the commands."""

from __future__ import annotations

from typing import Annotated, Any

from fastapi import APIRouter, Body

from evenhand.desk.on_record import load_study
from evenhand.desk.parts.assuming import changed_words
from evenhand.desk.parts.catalogue import catalogue
from evenhand.desk.parts.fitting import fittings_of
from evenhand.desk.parts.noting import note_facts
from evenhand.desk.parts.parts_answers import fitting_answer, listed_answer, part_answer
from evenhand.desk.parts.said_by_programs import facts_given
from evenhand.desk.parts.telling import facts_ever
from evenhand.desk.study.on_shelf import part_called, study_called
from evenhand.desk.study.shapes import table
from evenhand.web.site import Here
from evenhand.web.worth_fields import today_at

router = APIRouter(prefix="/api/studies/{study}", tags=["Parts and fit"])

Given = Annotated[Any, Body()]  # looked at by the desk, in its own words
UNKNOWN: dict[int | str, dict[str, Any]] = {404: {"description": "There is no such study or part."}}
REFUSED: dict[int | str, dict[str, Any]] = {
    **UNKNOWN,
    422: {"description": "A fact cannot be used; the answer names it."},
}
FACTS = {
    "requestBody": {
        "required": True,
        "content": {
            "application/json": {
                "schema": {
                    "type": "object",
                    "required": ["facts", "source"],
                    "additionalProperties": False,
                    "properties": {
                        "facts": {
                            "type": "object",
                            "description": "By name, each as it is written in a form; null where it was "
                            "looked for and is not known.",
                            "additionalProperties": {"type": ["string", "number", "boolean", "null"]},
                        },
                        "source": {"type": "string", "description": "Where they are from."},
                        "on": {"type": "string", "description": "The day they were read; today if left out."},
                        "sure": {
                            "type": "boolean",
                            "description": "Right, though far from what is said of others of its kind.",
                        },
                    },
                }
            }
        },
    }
}


@router.get("/fit", responses=UNKNOWN)
def fit(site: Here, study: str) -> dict[str, Any]:
    """Whether the parts of each build go together, with their supply; what nobody noted never passes."""
    found = fittings_of(site.wb, load_study(site.wb, study))
    return {"builds": [fitting_answer(each) for each in found], "assumed": changed_words(site.wb)}


@router.get("/parts", responses=UNKNOWN)
def parts(site: Here, study: str) -> dict[str, Any]:
    """Every part of the workbench: how much is known of it, which builds have it."""
    study_called(site.wb, study)
    return {"parts": [listed_answer(each) for each in catalogue(site.wb)]}


@router.get("/parts/{key}", responses=UNKNOWN)
def part(site: Here, study: str, key: str) -> dict[str, Any]:
    """A part with every fact that may be known of it, each with its source and day, and what stood before."""
    study_called(site.wb, study)
    return part_answer(part_called(site.wb, key), facts_ever(site.wb, key))


@router.post("/parts/{key}/facts", responses=REFUSED, openapi_extra=FACTS)
def note(site: Here, study: str, key: str, given: Given = None) -> dict[str, Any]:
    """Notes facts of a part, all or none; what stood before stays on record. Answers as the part itself."""
    study_called(site.wb, study)
    said = facts_given(table(given, ""))
    noted = note_facts(
        site.wb, key, said.facts, source=said.source, on=said.on, now=site.now(), today=today_at(site),
        sure=said.sure,
    )  # fmt: skip
    return part_answer(part_called(site.wb, key), facts_ever(site.wb, key), noted)
