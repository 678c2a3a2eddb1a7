"""One finding over many tests: these tests, tests like them, a test not run, and which test it hangs on."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from evenhand.errors import BadRecord
from evenhand.findings.columns import Used
from evenhand.findings.crossing import BRIDGED
from evenhand.findings.drifting import DRIFTS, OUTSIDE, unsteady_in
from evenhand.findings.finding import Caveat, Finding, Index, LeftOut, Outcome
from evenhand.findings.outcomes import (
    ALPHA,
    SHOWN_INTERVAL,
    decide,
    ends,
    from_log,
    may_be_small,
)
from evenhand.findings.rows import Row
from evenhand.findings.sessions import Sessions
from evenhand.findings.sums import Summed, sum_tests, sums_without_each
from evenhand.records.studies import Study
from evenhand.stats.between import Difference
from evenhand.stats.indexes import sample_of_tests


@dataclass(frozen=True, slots=True, kw_only=True)
class Entry:
    """A headline finding with the row and the difference it came from."""

    finding: Finding
    row: Row
    difference: Difference | None


def indexes(entries: Sequence[Entry], *, study: Study) -> tuple[Index, ...]:
    """By pair of setups: the index over all headline tests (group ""), then over each group of two or more.

    A pair with fewer than two usable tests has no index. Raises BadRecord where a weight is negative.
    """
    _check_weights(study)
    pairs = dict.fromkeys((e.finding.a, e.finding.b) for e in entries)
    made = []
    for pair in pairs:
        of_pair = [e for e in entries if (e.finding.a, e.finding.b) == pair]
        for group, members in _groups(of_pair).items():
            found = index(members, group=group, study=study)
            if found:
                made.append(found)
    return tuple(made)


def index(entries: Sequence[Entry], *, group: str, study: Study) -> Index | None:
    """The index of one pair over these tests, or None where fewer than two can be used.

    One test says by itself what an index over it would say again in other digits.
    Outcome by one p-value, not adjusted: level is asked first, and where nothing differs an index is nearly
    always level (the goals programme counts the false `ahead` of whole studies, indexes included).
    An index that holds a test with a single run on a side stays unsettled. Held rates never enter.
    """
    used = used_in(entries, study)
    if len(used) < 2:
        return None
    margin = math.log1p(study.margin)
    summed = sum_tests(used)
    outcome = decide(summed.evidence, margin=margin)
    sample_low, sample_high, predicted_low, predicted_high = _as_sample(used, summed)
    low, high = ends(summed.d, summed.half_95)
    bound_low, bound_high = summed.evidence.bounds or (None, None)
    return Index(
        group=group, a=entries[0].finding.a, b=entries[0].finding.b, tests=tuple(u.test for u in used),
        ratio=from_log(summed.d), low=low, high=high, level=SHOWN_INTERVAL, outcome=outcome,
        sample_low=sample_low, sample_high=sample_high,
        predicted_low=predicted_low, predicted_high=predicted_high, method=summed.method,
        bound_low=bound_low, bound_high=bound_high,
        left_out=_left_out(used, outcome, margin=margin), missing=_missing(entries, used, study),
        caveats=(*_caveats(entries, used, summed), *_withheld(outcome, used, summed)),
        perhaps_small=may_be_small(outcome, (low, high, bound_low, bound_high), margin=margin),
        bridged_by=tuple(dict.fromkeys(u.sessions.beside.machine for u in used if u.sessions.beside)),
    )  # fmt: skip


def _left_out(used: Sequence[Used], outcome: Outcome, *, margin: float) -> tuple[LeftOut, ...]:
    return tuple(
        _without(gone, summed, outcome, margin=margin)
        for gone, summed in zip(used, sums_without_each(used), strict=True)
    )


def _without(gone: Used, summed: Summed, outcome: Outcome, *, margin: float) -> LeftOut:
    then = decide(summed.evidence, margin=margin)
    low, high = ends(summed.d, summed.half_95)
    return LeftOut(
        test=gone.test, ratio=from_log(summed.d), low=low, high=high,
        outcome=then, flips=then is not outcome,
    )  # fmt: skip


def _as_sample(
    used: Sequence[Used], summed: Summed
) -> tuple[float | None, float | None, float | None, float | None]:
    """Bounds for tests like these and for one not run: never narrower than for these tests themselves.

    By chance a few tests may differ less than their own errors would make them; that is no knowledge.
    """
    tests = sample_of_tests([u.difference.d for u in used], weights=[u.weight for u in used])
    if tests is None:
        return None, None, None, None
    least = summed.half_95 or 0.0
    mean, new = (max(half, least) for half in tests.half_widths(SHOWN_INTERVAL))
    return *ends(summed.d, mean), *ends(summed.d, new)


def used_in(entries: Sequence[Entry], study: Study) -> list[Used]:
    """The tests that enter an index: those with numbers, a weight above 0 and no held rate."""
    found = []
    for e in entries:
        weight = _weight(e, study)
        if e.difference and e.row.sessions and weight > 0:
            found.append(_use(e, e.difference, e.row.sessions, weight))
    return found


def _use(entry: Entry, difference: Difference, sessions: Sessions, weight: float) -> Used:
    return Used(
        test=entry.finding.test, weight=weight, sessions=sessions, difference=difference,
        one_run=entry.row.one_run,
    )  # fmt: skip


def _weight(entry: Entry, study: Study) -> float:
    return study.weights.get(entry.finding.test, 1.0)


def _groups(entries: Sequence[Entry]) -> dict[str, list[Entry]]:
    groups: dict[str, list[Entry]] = {"": list(entries)}
    for name in dict.fromkeys(e.finding.group for e in entries):
        members = [e for e in entries if e.finding.group == name]
        if name and len(members) > 1:
            groups[name] = members
    return groups


def _missing(entries: Sequence[Entry], used: Sequence[Used], study: Study) -> tuple[str, ...]:
    """Tests with a weight that should be in the index and have no number to bring."""
    there = {u.test for u in used}
    wanted = [e for e in entries if not e.row.locked and _weight(e, study) > 0]
    return tuple(e.finding.test for e in wanted if e.finding.test not in there)


def _caveats(entries: Sequence[Entry], used: Sequence[Used], summed: Summed) -> tuple[Caveat, ...]:
    found = []
    held = [e.finding.test for e in entries if e.row.locked]
    if held:
        words = "held at a declared rate, so not in the index: {tests}"
        found.append(Caveat(key="held-rate", words=words, tests=tuple(held)))
    single = [u.test for u in used if u.one_run]
    if single:
        words = "one run on a side, with the spread of the other tests: {tests}"
        found.append(Caveat(key="one-run", words=words, tests=tuple(single)))
    found += _bridged(used)
    drift = _drift(used)
    found += _unsteady(used, drift)
    shared = summed.evidence.allowance - drift
    if shared > _DUST:
        exposed = sum(u.sessions.allowance - u.sessions.drift > _DUST for u in used)
        which = "all its tests" if exposed == len(used) else f"{exposed} of {len(used)} tests"
        words = (
            f"in {which} runs of one boot, or not taken in turns, may share an error that repeats do not "
            f"show: {100 * math.expm1(shared):.3g} % of the index is allowed for it"
        )
        found.append(Caveat(key="allowance", words=words))
    return tuple(found)


_DUST = 1e-12  # what rounding leaves of an allowance that is all drift


def _drift(used: Sequence[Used]) -> float:
    """The part of the allowance that drifts of anchors may make."""
    return sum(u.weight * u.sessions.drift for u in used) / sum(u.weight for u in used)


def _unsteady(used: Sequence[Used], drift: float) -> list[Caveat]:
    """Which anchors do not stay as they were, in which of its tests, and how much is allowed for it."""
    by_place: dict[tuple[str, str], list[str]] = {}
    for u in used:
        for caveat in unsteady_in(u.sessions.caveats):
            by_place.setdefault((caveat.key, caveat.setups[0]), []).append(u.test)
    allowed = f": {100 * math.expm1(drift):.3g} % of the index is allowed for it"
    words = {
        DRIFTS: f"{{setups[0]}}, run before and since, drifts from day to day, in {{tests}}{allowed}",
        OUTSIDE: "bench days of {setups[0]}, run before and since, lie outside their limits: {tests}",
    }
    return [
        Caveat(key=key, words=words[key], setups=(machine,), tests=tuple(tests))
        for (key, machine), tests in by_place.items()
    ]


def _bridged(used: Sequence[Used]) -> list[Caveat]:
    """By which machine some of the tests meet, having been measured apart, each with its tests.

    Where one bridges them all, their own reservations say so.
    """
    by_machine: dict[str, list[str]] = {}
    for u in used:
        if u.sessions.beside:
            by_machine.setdefault(u.sessions.beside.machine, []).append(u.test)
    words = "measured apart and bridged by {setups[0]}: {tests}"
    return [
        Caveat(key=BRIDGED, words=words, setups=(machine,), tests=tuple(tests))
        for machine, tests in by_machine.items() if len(tests) < len(used)
    ]  # fmt: skip


def _withheld(outcome: Outcome, used: Sequence[Used], summed: Summed) -> tuple[Caveat, ...]:
    """Why an index whose interval clears 1 is not called though each of its tests has repeats."""
    p, half = summed.evidence.p, summed.half_95
    if outcome is not Outcome.UNSETTLED or p is None or half is None or any(u.one_run for u in used):
        return ()
    clear_by = abs(summed.d) - half
    if clear_by <= 0:
        return ()
    if clear_by <= summed.evidence.allowance:
        words = "a difference is measurable, but within what the allowance cannot exclude"
        return (Caveat(key="ahead-withheld", words=words),)
    words = f"clear of no difference at 95 %, but its p of {p:.2g} does not reach {ALPHA:g}"
    return (Caveat(key="p-withheld", words=words),)


def _check_weights(study: Study) -> None:
    bad = [f"{test} = {w}" for test, w in study.weights.items() if not (math.isfinite(w) and w >= 0)]
    if bad:
        raise BadRecord(
            f"a weight must be 0 or more: {', '.join(bad)}", where=f"study {study.key}", todo="correct it"
        )
