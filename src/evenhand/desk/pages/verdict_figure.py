"""The picture of a verdict by one weight, with the sentence over it."""

from __future__ import annotations

from dataclasses import dataclass

from evenhand.desk.verdict.verdict_curve import Curve
from evenhand.desk.verdict.verdict_ground import part_name
from evenhand.findings.outcomes import SHOWN_INTERVAL
from evenhand.publish.figures.interval_rows import Pair
from evenhand.publish.figures.lead_by_weight import heading, lead_by_weight
from evenhand.publish.numbers import level_words
from evenhand.publish.picture import Picture
from evenhand.publish.unmeasured_words import besides_words
from evenhand.publish.verdict_words import LEADS
from evenhand.verdicts.verdict import Verdict


@dataclass(frozen=True, slots=True, kw_only=True)
class WeightFigure:
    """How the lead moves with one weight."""

    heading: str
    about: str
    picture: Picture


def weight_figure(curve: Curve, about: Pair, verdict: Verdict | None = None) -> WeightFigure:
    """The curve drawn, with the sentence over it."""
    weight = part_name(curve.weight, about.names)
    beside = ", the allowance for a shared error not in it" if curve.allowed else ""
    unknown = besides_words(verdict).removesuffix(".") if verdict else ""
    lacks = f".{unknown}" if unknown else ""
    hollow = any(each.outcome not in (None, *LEADS) for each in curve.stands)
    told = f"Index of the one in front, with its {level_words(SHOWN_INTERVAL)} interval"
    return WeightFigure(
        heading=heading(curve.lead, about, weight),
        about=f"{told}{beside}{'. Hollow: nobody is ahead' if hollow else ''}{lacks}",
        picture=lead_by_weight(curve.lead, about, curve.stands, weight),
    )
