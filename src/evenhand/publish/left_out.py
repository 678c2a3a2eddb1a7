"""What was left out, in words that can be read aloud: which run, why, and what it would have changed."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

from evenhand.findings.finding import Exclusion, Finding, Index
from evenhand.publish.names import Names
from evenhand.publish.numbers import count_word, listed, number, run_words, with_unit
from evenhand.publish.reservations import over
from evenhand.publish.spans import percent_span
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


def why_left_out(state: RunState, reason: Reason | None, *, masked: bool = False) -> str:
    """Why a run does not count, in two or three words; "" for one that counts.

    `masked` says that it was decided while names and numbers were hidden.

    >>> why_left_out(RunState.SET_ASIDE, Reason.RATE_CAP), why_left_out(RunState.IN_DOUBT, None)
    ('capped', 'waits')
    >>> why_left_out(RunState.SET_ASIDE, Reason.RATE_CAP, masked=True)
    'capped, decided masked'
    """
    if state.counts:
        return ""
    if state is RunState.IN_DOUBT:
        return "waits"
    blind = ", decided masked" if masked else ""
    if state is RunState.REPLACED:
        return f"replaced{blind}"
    return f"{REASONS[reason] if reason else 'set aside'}{blind}"


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
    return exclusion_sentences([(exclusion, why)], names, margin=margin)[0]


def exclusion_sentences(
    left_out: Sequence[tuple[Exclusion, str]], names: Names, *, margin: float
) -> tuple[str, ...]:
    """Left-out runs, each with why, in order: runs of one cell of which the same is to be said, together.

    "Left out: four Rig one runs of Menu at 60.00 fps (wait); no one of them would change a figure."
    """
    alike: dict[tuple[str, ...], list[Exclusion]] = {}
    for exclusion, why in left_out:
        key = (exclusion.test, exclusion.setup, exclusion.metric, why, _consequence(exclusion, names, margin))
        alike.setdefault(key, []).append(exclusion)
    return tuple(
        f"Left out: {_which(own, key[3], names)}{_told(key[4], several=len(own) > 1)}"
        for key, own in alike.items()
    )


def _which(own: Sequence[Exclusion], why: str, names: Names) -> str:
    """The runs with their numbers: "the Rig one run of Menu at 60.00 fps (waits)"."""
    first, unit, several = own[0], names.unit(own[0].test), len(own) > 1
    values = tuple(dict.fromkeys(run_words(e.value, "") for e in own))
    at = with_unit(listed(values), unit)
    reason = f" ({'wait' if several and why == 'waits' else why})" if why else ""
    who = (
        f"{count_word(len(own))} {names.setup(first.setup)} runs"
        if several
        else f"the {names.setup(first.setup)} run"
    )
    return f"{who} of {names.test(first.test)} at {at}{reason}"


def _told(consequence: str, *, several: bool) -> str:
    if not consequence:
        return f"; {'no one of them' if several else 'it'} would change {'a' if several else 'no'} figure."
    return f". With {'any one of them' if several else 'it'} {consequence}"


def _consequence(exclusion: Exclusion, names: Names, margin: float) -> str:
    """What one run would change, as printed, or "" where that is nothing."""
    changes = list(_changes(exclusion, names))
    told = [_pair_told(pair, changes, names, margin) for pair in dict.fromkeys(map(_pair, changes))]
    return " ".join(words for words in told if words)


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
            yield Change(where=over(i, names), without=i, with_it=joined[key], only=alone.get(key))


def _sides(found: Finding | Index) -> tuple[str, str]:
    return found.a, found.b


def _pair(change: Change) -> tuple[str, str]:
    return _sides(change.without)


def _pair_told(pair: tuple[str, str], changes: list[Change], names: Names, margin: float) -> str:
    own = [change for change in changes if _pair(change) == pair]
    moves = tuple(words for words in map(_move, own) if words)
    first = tuple(f"{_first(c)} {c.where}" for c in own if _is_first(c))
    alone = tuple(f"{_at(c.only, c.without)} {c.where}" for c in own if c.only and _matters(c, margin))
    who = f"{names.setup(pair[0])} over {names.setup(pair[1])}"
    only = f"were it the only run, to {listed(alone)}" if alone else ""
    said = [f"would read {listed(first)}; without it no run counts"] if first else []
    said += [f"goes {listed(moves)}"] if moves else []
    if said:
        return f"{who} {', and '.join(said)}{'; ' if only else ''}{only}."
    return f"{who} stays as it is; {only}." if only else ""


def _is_first(change: Change) -> bool:
    """Whether the cell has no run that counts without this one, so that there is nothing to go from."""
    return (
        isinstance(change.without, Finding)
        and change.without.ratio is None
        and change.with_it.ratio is not None
    )


def _first(change: Change) -> str:
    state = (
        f"{change.with_it.outcome.value} at " if change.with_it.outcome is not change.without.outcome else ""
    )
    return f"{state}{_at(change.with_it, change.without)}"


def _move(change: Change) -> str:
    """From what to what, or "" where nothing changes as printed or there is nothing to go from."""
    if _is_first(change):
        return ""
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
    own = percent_span(found.ratio, None, None)
    return with_unit(own.digits(signed=True, decimals=span.decimals), "%")


def _matters(change: Change, margin: float) -> bool:
    only, without = change.only, change.without
    if only is None or without.ratio is None:
        return False
    return abs(only.ratio - without.ratio) >= TELLING * margin
