"""Across time in words: what a change did to an anchor, pairs joined over it, and how steady the bench is."""

from __future__ import annotations

from collections.abc import Sequence

from evenhand.findings.bridges import Bridged, NoBridge, Shift
from evenhand.findings.control import Control
from evenhand.findings.drifting import DRIFTS, OUTSIDE
from evenhand.findings.effects import Effect
from evenhand.findings.finding import Outcome
from evenhand.publish.names import Names
from evenhand.publish.numbers import capital, counted, listed
from evenhand.publish.spans import percent_span, the_other_way
from evenhand.publish.standing import allowed_words, standing

LEADS = (Outcome.AHEAD, Outcome.BEHIND)


def change_words(effect: Effect) -> str:
    """What a change did: "+3.1 % (+2.2 to +4.0), better"."""
    span = standing(effect) or percent_span(effect.ratio, None, None)
    word = {Outcome.AHEAD: "better", Outcome.BEHIND: "worse"}.get(effect.outcome, effect.outcome.value)
    allowed = allowed_words(effect)
    said = f"{span.words('%', signed=True)}, {word}"
    return "; ".join((*filter(None, (said, allowed)), *(f"but {words}" for words in unsteady_words(effect))))


def unsteady_words(effect: Effect) -> list[str]:
    """That an anchor in it drifts, in few words: how far that goes stands beside its chart."""
    drifting = any(caveat.key == DRIFTS for caveat in effect.caveats)
    outside = any(caveat.key == OUTSIDE for caveat in effect.caveats)
    return [
        *(["the anchor drifts, which is allowed for"] if drifting else []),
        *(["a bench day of the anchor lies outside its limits"] if outside else []),
    ]


def crossed_sentence(anchor: str, old: str, new: str, common: Effect | None, names: Names) -> str:
    """What a change did to the anchor over all tests, as a sentence."""
    head = f"{names.machine(anchor)}, run under {old} and since under {new}"
    return f"{head}." if common is None else f"{head}: over all tests together {change_words(common)}."


def shift_sentence(shift: Shift, names: Names) -> str:
    """What a change did in one test."""
    return f"{names.test(shift.test)}: {change_words(shift.effect)}."


def bridge_sentence(found: Bridged | NoBridge, names: Names) -> str:
    """A pair measured apart, joined over an anchor, told of whoever is in front; or why it is not."""
    a, b, test = names.setup(found.a), names.setup(found.b), names.test(found.test)
    if isinstance(found, NoBridge):
        return f"{test}, {a} and {b}: no ratio. {capital(found.words)}; {found.todo}."
    outcome = found.effect.outcome
    span = standing(found.effect) or percent_span(found.effect.ratio, None, None)
    turned = found.effect.ratio < 1
    if turned:
        a, b, span = b, a, the_other_way(span)
        outcome = Outcome.AHEAD if outcome is Outcome.BEHIND else outcome
    said = f"{test}: {a} {span.words('%', signed=True)} over {b}, {outcome.value}"
    said = "; ".join(filter(None, (said, allowed_words(found.effect, turned=turned))))
    granted = next((c.told(names.setup, names.test) for c in found.effect.caveats if c.key == "bridged"), "")
    how = granted or "its own bridge, as it was run under both"
    return f"{'; '.join((said, how, *(f'but {words}' for words in unsteady_words(found.effect))))}."


def control_sentence(chart: Control, names: Names) -> str:
    """How steady the anchor was in one test; "" where the heading says all that there is: too few days."""
    if [caveat.key for caveat in chart.caveats] == ["short-chart"]:
        return ""
    days = counted(len(chart.marks), "bench day")
    said = [capital(days)]
    said += [caveat.told(names.setup, names.test) for caveat in chart.caveats]
    if chart.drift_a_day is not None and chart.drifts:
        span = percent_span(chart.drift_a_day, chart.drift_low, chart.drift_high)
        said.append(f"by {span.words('%', signed=True)} a day")
    elif len(said) == 1:
        said.append("every one inside what those before it allow, and no drift")
    return f"{'; '.join(said)}."


def _tests_of(charts: Sequence[Control], names: Names) -> str:
    return listed(tuple(dict.fromkeys(names.test(chart.test) for chart in charts)))


def steady_heading(charts: Sequence[Control], watched: str, names: Names) -> str:
    """Whether the bench stayed as it was, in a sentence without a stop."""
    who = names.machine(watched)
    drifting = [c for c in charts if c.drifts]
    outside = [c for c in charts if any(mark.outside for mark in c.marks)]
    if drifting or outside:
        did = (("drifts in", drifting), ("stepped outside its limits in", outside))
        told = [f"{verb} {_tests_of(each, names)}" for verb, each in did if each]
        return f"{who}, the anchor, {' and '.join(told)}"
    if not any(mark.low is not None for c in charts for mark in c.marks):
        most = max((len(c.marks) for c in charts), default=0)
        return f"{who} was measured on {counted(most, 'bench day')}: limits are drawn from the fourth"
    return f"{who}, the anchor, stayed inside its limits"
