"""How far each verdict may be told, and what else was measured, for terminals and programs."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import asdict
from typing import Any, TypeAlias

from evenhand.desk.answers import finding_answer
from evenhand.desk.on_record import StudyOnRecord
from evenhand.desk.pages.verdict_claims import ClaimsPart, claims_part
from evenhand.desk.verdict.claiming import claims_of
from evenhand.desk.verdict.judged import Judgement
from evenhand.findings.power import PowerFindings
from evenhand.publish.names import Names
from evenhand.store.workbench import Workbench

Told: TypeAlias = Mapping[tuple[str, str, str], ClaimsPart]
"""Claims by audience, a and b."""


def claims_told(wb: Workbench, record: StudyOnRecord, found: Judgement) -> Told:
    """The claims of every pair before every audience whose weights can be read, with a verdict or without."""
    return {
        (each.audience.key, pair.a, pair.b): claims_part(claims_of(wb, record, found, each, (pair.a, pair.b)))
        for each in found.audiences
        if each.trouble is None
        for pair in each.case.pairs
    }


def beside_lines(told: Told, names: Names) -> Iterator[str]:
    """What else was measured of each pair, once: it is the same before every audience."""
    pairs: dict[tuple[str, str], ClaimsPart] = {}
    for (_, a, b), part in told.items():
        pairs.setdefault((a, b), part)
    for (a, b), part in pairs.items():
        yield f"  {names.setup(a)} and {names.setup(b)}:"
        for line in part.beside:
            yield f"    {line.name}: {line.said[0]}"
            yield from (f"      {said}" for said in line.said[1:])


def power_answer(found: PowerFindings) -> dict[str, Any]:
    """``power`` of ``verdict --json``: watts and joules a frame of every pair, and where nobody read them."""
    return {
        "findings": [finding_answer(finding) for finding in found.findings],
        "not_measured": [
            {"test": each.test, "metric": each.metric, "a": each.a, "b": each.b, "words": each.why.told()}
            for each in found.unread
        ],
    }


def claims_answer(told: Told) -> list[dict[str, Any]]:
    """``claims`` of ``verdict --json``: the ladder and its sentences as the page Verdict tells them."""
    return [{"audience": who, "a": a, "b": b} | asdict(part) for (who, a, b), part in told.items()]
