"""A study's brief, tests, builds, setups and parts, for programs: in the shape of the study file's tables."""

from __future__ import annotations

from typing import Annotated, Any

from fastapi import APIRouter, Body
from pydantic import BaseModel, ConfigDict

from evenhand.desk.study import putting
from evenhand.desk.study.briefing import drop_test
from evenhand.desk.study.building import drop_setup
from evenhand.desk.study.shapes import schema_of, study_tables, table
from evenhand.desk.study.shelving import Kept
from evenhand.web.site import Here

router = APIRouter(prefix="/api/studies", tags=["Brief and builds"])

# Looked at by the desk, in its own words.
Given = Annotated[Any, Body()]


class Tables(BaseModel):
    """A study as its file's tables; each as docs/formats-study.md describes it."""

    model_config = ConfigDict(extra="forbid")

    study: dict[str, Any]
    parts: list[dict[str, Any]]
    builds: list[dict[str, Any]]
    setups: list[dict[str, Any]]
    tests: list[dict[str, Any]]


class Put(BaseModel):
    """What was put: its key, and the number of the change in history; 0 where it stood so before."""

    key: str
    change: int


class Trouble(BaseModel):
    """What was found, where (the field), and what to do next."""

    kind: str
    found: str
    where: str
    todo: str


class Refused(BaseModel):
    """Nothing was stored."""

    error: Trouble


REFUSALS: dict[int | str, dict[str, Any]] = {
    404: {"model": Refused, "description": "Nothing is on record under this key."},
    422: {"model": Refused, "description": "A field cannot be used; `where` names it."},
}


def _body(of: str) -> dict[str, Any]:
    """How a body is described: by the study file's own table."""
    return {"requestBody": {"required": True, "content": {"application/json": {"schema": schema_of(of)}}}}


def _put(kept: Kept) -> Put:
    return Put(key=kept.key, change=kept.change)


@router.get("/{study}", responses={404: REFUSALS[404]})
def tables(site: Here, study: str) -> Tables:
    """The study, and all that it names or that its runs are of."""
    return Tables(**study_tables(site.wb, study))


@router.put("/{study}", responses=REFUSALS, openapi_extra=_body("study"))
def put_study(site: Here, study: str, given: Given = None) -> Put:
    """Starts a study, or changes its own table.

    What the table leaves out is as usual, but for its lists of tests and setups, which stay.
    """
    return _put(putting.put_study(site.wb, study, table(given, study), now=site.now()))


@router.put("/{study}/tests/{key}", responses=REFUSALS, openapi_extra=_body("tests"))
def put_test(site: Here, study: str, key: str, given: Given = None) -> Put:
    """A test of the study, whole; a change touches every study that uses it."""
    return _put(putting.put_test(site.wb, study, key, table(given, key), now=site.now()))


@router.delete("/{study}/tests/{key}", responses=REFUSALS)
def delete_test(site: Here, study: str, key: str) -> Put:
    """Takes a test out of the study; it and its runs stay on record."""
    return _put(drop_test(site.wb, study, key, now=site.now()))


@router.put("/{study}/builds/{key}", responses=REFUSALS, openapi_extra=_body("builds"))
def put_build(site: Here, study: str, key: str, given: Given = None) -> Put:
    """A build, whole; it is compared once it has a setup in the study."""
    return _put(putting.put_build(site.wb, study, key, table(given, key), now=site.now()))


@router.put("/{study}/parts/{key}", responses=REFUSALS, openapi_extra=_body("parts"))
def put_part(site: Here, study: str, key: str, given: Given = None) -> Put:
    """A part, whole, to be named by builds."""
    return _put(putting.put_part(site.wb, study, key, table(given, key), now=site.now()))


@router.put("/{study}/setups/{key}", responses=REFUSALS, openapi_extra=_body("setups"))
def put_setup(site: Here, study: str, key: str, given: Given = None) -> Put:
    """A setup of the study, whole; a change touches every study that uses it."""
    return _put(putting.put_setup(site.wb, study, key, table(given, key), now=site.now()))


@router.delete("/{study}/setups/{key}", responses=REFUSALS)
def delete_setup(site: Here, study: str, key: str) -> Put:
    """Takes a setup out of the study; it, its build and their runs stay on record."""
    return _put(drop_setup(site.wb, study, key, now=site.now()))
