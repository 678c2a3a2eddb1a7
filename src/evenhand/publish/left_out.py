"""What was left out, in words that can be read aloud: which run, why, and what it would have changed."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from evenhand.findings.finding import Exclusion, Finding, Index
from evenhand.publish.names import Names
from evenhand.publish.numbers import count_word, listed, number, percent, run_words, with_unit
from evenhand.publish.standing import standing
from evenhand.records.faults import Fault
from evenhand.records.runs import Reason, Run, RunState

TELLING = 0.1  # of the margin: a change smaller than this is not told of a run that were alone

REASONS = {
    Reason.RATE_CAP: "capped",
    Reason.WRONG_SETTINGS: "wrong settings",
    Reason.WRONG_SCENE: "wrong scene",
    Reason.DUPLICATE: "a copy",
    Reason.OTHER_SOFTWARE: "other software",
    Reason.OTHER_CONDITIONS: "other conditions",
    Reason.DAMAGED_LOG: "damaged log",
    Reason.INTERRUPTED: "interrupted",
    Reason.RIG_FAULT: "rig fault",
    Reason.OTHER: "set aside",
}


def why_left_out(state: RunState, reason: Reason | None) -> str:
    """Why a run does not count, in two or three words; "" for one that counts.

    >>> why_left_out(RunState.SET_ASIDE, Reason.RATE_CAP), why_left_out(RunState.IN_DOUBT, None)
    ('capped', 'waits')
    """
    if state.counts:
        return ""
    if state is RunState.IN_DOUBT:
        return "waits"
    if state is RunState.REPLACED:
        return "replaced"
    return REASONS[reason] if reason else "set aside"


def conditions_sentence(run: Run, value: float, faults: Iterable[Fault], names: Names) -> str:
    r"""A run set aside for its conditions: what it did there, which is behaviour and no mistake.

    >>> run = Run(id="r", study="s", test="t", setup="d", label="hot", ambient_c=29.6)
    >>> names = Names(setups={}, tests={})
    >>> conditions_sentence(run, 4.33, (), names).replace("\xa0", " ")
    'd in t, in a room of 29.6 °C: 4.330. A result of its own, and no part of the comparison.'
    """
    seen = [fault.evidence for fault in faults if fault.behaviour]
    # The evidence of behaviour names the room itself.
    room = (
        "" if seen or run.ambient_c is None else f", in a room of {with_unit(number(run.ambient_c, 1), '°C')}"
    )
    did = (
        f"{names.setup(run.setup)} in {names.test(run.test)}{room}: {run_words(value, names.unit(run.test))}."
    )
    return " ".join([did, *seen, "A result of its own, and no part of the comparison."])


@dataclass(frozen=True, slots=True, kw_only=True)
class Change:
    """One figure without the run, with it, and (indexes only) were it the only run of its setup."""

    where: str
    without: Finding | Index
    with_it: Finding | Index
    only: Index | None = None


def exclusion_sentence(exclusion: Exclusion, names: Names, *, margin: float, why: str = "") -> str:
    """One left-out run: its number, why, and what it would change; what stays the same is not told.

    A figure is told where its outcome changes or it differs as printed; for the run as its setup's only
    one, where the figure moves by a tenth of the `margin` or more.
    """
    value = run_words(exclusion.value, names.unit(exclusion.test))
    reason = f" ({why})" if why else ""
    which = f"the {names.setup(exclusion.setup)} run of {names.test(exclusion.test)} at {value}{reason}"
    changes = list(_changes(exclusion, names))
    told = [_pair_told(pair, changes, names, margin) for pair in dict.fromkeys(map(_pair, changes))]
    said = [words for words in told if words]
    if not said:
        return f"Left out: {which}; it would change no figure."
    return f"Left out: {which}. With it {' '.join(said)}"


def _changes(exclusion: Exclusion, names: Names) -> Iterator[Change]:
    """Every figure the run bears on: those of its test first, then the indexes."""
    again = {(f.test, f.metric, *_sides(f)): f for f in exclusion.findings_with}
    for f in exclusion.findings_without:
        if (f.test, f.metric, *_sides(f)) in again:
            with_it = again[f.test, f.metric, *_sides(f)]
            yield Change(where=f"in {names.test(f.test)}", without=f, with_it=with_it)
    joined = {(i.group, *_sides(i)): i for i in exclusion.indexes_with}
    alone = {(i.group, *_sides(i)): i for i in exclusion.indexes_only}
    for i in exclusion.indexes_without:
        key = (i.group, *_sides(i))
        if key in joined:
            yield Change(where=_over(i, names), without=i, with_it=joined[key], only=alone.get(key))


def _sides(found: Finding | Index) -> tuple[str, str]:
    return found.a, found.b


def _pair(change: Change) -> tuple[str, str]:
    return _sides(change.without)


def _over(index: Index, names: Names) -> str:
    if index.group:
        return f"in {names.group(index.group).lower()}"
    return f"over {'' if index.missing else 'all '}{count_word(len(index.tests))}"


def _pair_told(pair: tuple[str, str], changes: list[Change], names: Names, margin: float) -> str:
    own = [change for change in changes if _pair(change) == pair]
    moves = tuple(words for words in map(_move, own) if words)
    alone = tuple(f"{_at(c.only, c.without)} {c.where}" for c in own if c.only and _matters(c, margin))
    who = f"{names.setup(pair[0])} over {names.setup(pair[1])}"
    only = f"were it the only run, to {listed(alone)}" if alone else ""
    if moves:
        return f"{who} goes {listed(moves)}{'; ' if only else ''}{only}."
    return f"{who} stays as it is; {only}." if only else ""


def _move(change: Change) -> str:
    """From what to what, or "" where nothing changes as printed."""
    without, with_it = change.without, change.with_it
    before, after = _at(without, without), _at(with_it, without)
    if without.outcome is not with_it.outcome:
        return f"from {_stand(without, before)} to {_stand(with_it, after)} {change.where}"
    return f"from {before} to {after} {change.where}" if before != after else ""


def _stand(found: Finding | Index, at: str) -> str:
    return f"{found.outcome.value} at {at}" if at else found.outcome.value


def _at(found: Finding | Index, beside: Finding | Index) -> str:
    """The figure, to as many decimals as the one it is held against."""
    span = standing(beside) or standing(found)
    if found.ratio is None or span is None:
        return ""
    return with_unit(number(percent(found.ratio), span.decimals, signed=True), "%")


def _matters(change: Change, margin: float) -> bool:
    only, without = change.only, change.without
    if only is None or without.ratio is None:
        return False
    return abs(only.ratio - without.ratio) >= TELLING * margin
