"""What is noted of a tuned part: stock and steps, limits of its maker, trials; taken and put back, too."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, replace
from datetime import date, datetime

from evenhand.desk.study.checking import Checked, FieldProblem, Given, sound
from evenhand.desk.study.shelving import refuse_closed
from evenhand.desk.tuning.checking import checked_limit, checked_trial, checked_tuned
from evenhand.errors import BadRecord, NotFound, nearest
from evenhand.folders.problems import Problem
from evenhand.folders.table import hidden_sign
from evenhand.folders.trials import limit_problems, own_key, trial_problems
from evenhand.records.builds import Build, Part, Setup
from evenhand.records.trials import Limit, Trial, Tuned
from evenhand.store import shelves
from evenhand.store import trials as trial_store
from evenhand.store import tuned as tuned_store
from evenhand.store.under_way import told_of
from evenhand.store.workbench import Workbench


@dataclass(frozen=True, slots=True, kw_only=True)
class Noted:
    """A trial on record; `again` where it had been before this was sent."""

    trial: Trial
    again: bool = False


def setup_of(wb: Workbench, key: str) -> Setup:
    """A setup on record. Raises NotFound that names the nearest."""
    known = {setup.key: setup for setup in shelves.every(wb, Setup)}
    if key not in known:
        todo = nearest(key, known) if known else "bring a study in first"
        raise NotFound(f"'{key}' is not a setup on this workbench", where="setup", todo=todo)
    return known[key]


def setup_tried(wb: Workbench, key: str) -> str:
    """The setup that a trial is of, by the trial's own key. Raises NotFound."""
    return trial_store.trial_keyed(wb, key).setup


def refuse_other_machine(wb: Workbench, setup: str, build: str | None) -> None:
    """Raises BadRecord where a rig that is one build speaks of a part of another; one of no build may."""
    of = next((each for each in shelves.every(wb, Setup) if each.key == setup), None)
    if build is None or of is None or of.build == build:
        return
    own, other = (shelves.one(wb, Build, key).name for key in (build, of.build))
    raise BadRecord(
        f"it came from the rig that is {own}, and the trial is of a part of {other}", where="setup",
        todo="let this rig in as that machine, on the page Devices",
    )  # fmt: skip


def tuned_part(wb: Workbench, setup: str, part: str) -> Tuned:
    """A tuned part on record, with its limits. Raises NotFound for an unknown setup or part."""
    setup_of(wb, setup)
    parts = {tuned.part: tuned for tuned in tuned_store.tuned_parts(wb, [setup])}
    if part not in parts:
        first = f"note it first: evenhand tuned {setup} {part or 'PART'} --clock MHZ --clock-step MHZ …"
        todo = nearest(part, parts) if parts else first
        raise NotFound(f"'{part}' is no tuned part of {setup}", where="part", todo=todo)
    return parts[part]


def only_part(wb: Workbench, setup: str) -> str:
    """The part of a setup that is tuned, where it is one alone. Raises NotFound otherwise."""
    setup_of(wb, setup)
    parts = [tuned.part for tuned in tuned_store.tuned_parts(wb, [setup])]
    if len(parts) == 1:
        return parts[0]
    found = f"{setup} has several tuned parts" if parts else f"no part of {setup} is tuned yet"
    todo = f"name one of {', '.join(parts)}" if parts else "note it first: evenhand tuned --help"
    raise NotFound(found, where="part", todo=todo)


def drafted_tuned(wb: Workbench, given: Given) -> Checked[Tuned]:
    """A tuned part that is to be noted; of one on record what is not given stays as it is."""
    setup, part = str(given.get("setup") or ""), str(given.get("part") or "").strip()
    problems = [*_no_such(wb, setup, part)]
    if problems:
        return Checked(record=None, problems=tuple(problems))
    before = tuned_store.tuned_one(wb, setup, part)
    stands = {} if before is None else _as_given(before)
    return checked_tuned(
        {**stands, **_told(given), "part": part},
        trials=[t for t in trial_store.trials_of(wb, [setup]) if t.part == part],
        limits=() if before is None else before.limits,
    )


def already_noted(wb: Workbench, given: Given) -> Iterator[FieldProblem]:
    """That a part which is to be noted as another one is on record already."""
    setup, part = str(given.get("setup") or ""), str(given.get("part") or "").strip()
    if tuned_store.tuned_one(wb, setup, part) is not None:
        found, todo = f"the {part} of this setup is on record", "choose it on this page, and change it there"
        yield FieldProblem(field="part", found=found, todo=todo)


def _as_given(tuned: Tuned) -> Mapping[str, object]:
    return {name: getattr(tuned, name) for name in Tuned.__slots__ if name != "limits"}


def _no_such(wb: Workbench, setup: str, part: str) -> list[FieldProblem]:
    """That the setup, or a part of its kind in the setup's build, is not on record."""
    try:
        of = setup_of(wb, setup)
    except NotFound as refused:
        return [FieldProblem(field="setup", found=refused.found, todo=refused.todo)]
    if not part:
        return [FieldProblem(field="part", found="nothing stands here", todo="write which part it is")]
    build = shelves.one(wb, Build, of.build)
    kinds = kinds_of(wb, build)
    if not kinds or part in kinds:
        return []
    found = f"{build.name} has no part of the kind '{part}'"
    return [FieldProblem(field="part", found=found, todo=nearest(part, sorted(kinds)))]


def kinds_of(wb: Workbench, build: Build) -> set[str]:
    """The kinds of a build's parts."""
    return {each.kind for each in shelves.every(wb, Part) if each.key in build.parts}


def note_tuned(wb: Workbench, given: Given, *, now: datetime) -> Tuned:
    """A tuned part on record, with the limits that it has. Raises BadRecord that names each field."""
    with wb.writing():
        tuned = sound(drafted_tuned(wb, given))
        refuse_closed(wb, setup_of(wb, tuned.setup))
        tuned_store.save_tuned(wb, tuned, at=now)
        return tuned_part(wb, tuned.setup, tuned.part)


def drafted_limit(wb: Workbench, setup: str, part: str, given: Given, *, today: date) -> Checked[Limit]:
    """A limit that is to be noted. Raises NotFound for an unknown setup or part."""
    return checked_limit({"read_on": today, **_told(given)}, tuned_part(wb, setup, part), today=today)


def _told(given: Given) -> dict[str, object]:
    return {key: value for key, value in given.items() if value is not None}


def note_limit(wb: Workbench, setup: str, part: str, given: Given, *, now: datetime, today: date) -> Limit:
    """A limit of a tuned part's maker on record. Raises BadRecord that names each field, and NotFound."""
    with wb.writing():
        limit = sound(drafted_limit(wb, setup, part, given, today=today))
        refuse_closed(wb, setup_of(wb, setup))
        return tuned_store.add_limit(wb, setup, part, limit, at=now)


def take_back_limit(
    wb: Workbench, setup: str, part: str, number: int, reason: str, *, now: datetime
) -> Limit:
    """A limit that was a mistake counts no more; it stays on record with the reason. Raises NotFound."""
    with wb.writing():
        if all(limit.id != number for limit in tuned_part(wb, setup, part).limits):
            raise NotFound(f"there is no limit {number}", where=f"{part} of {setup}", todo="see its limits")
        refuse_closed(wb, setup_of(wb, setup))
        return tuned_store.take_back_limit(wb, number, reason_given(reason), at=now)


def put_back_limit(wb: Workbench, setup: str, part: str, number: int, reason: str, *, now: datetime) -> Limit:
    """A limit that had been taken back counts again, with the reason.

    Raises NotFound, and BadRecord where it fits the part no more.
    """
    with wb.writing():
        tuned = tuned_part(wb, setup, part)
        ever = {limit.id: limit for limit in tuned_store.limits_ever(wb, setup, part)}
        if number not in ever:
            raise NotFound(f"there is no limit {number}", where=f"{part} of {setup}", todo="see its limits")
        refuse_closed(wb, setup_of(wb, setup))
        _refuse_unfit(limit_problems(ever[number], tuned, ()), f"limit {number}")
        return tuned_store.put_back_limit(wb, number, reason_given(reason), at=now)


def drafted_trial(wb: Workbench, given: Given, *, now: datetime, again: bool = False) -> Checked[Trial]:
    """A trial that is to be noted, or is sent again."""
    setup, part = str(given.get("setup") or ""), str(given.get("part") or "").strip()
    try:
        tuned = tuned_part(wb, setup, part)
    except NotFound as refused:
        problem = FieldProblem(field=refused.where, found=refused.found, todo=refused.todo)
        return Checked(record=None, problems=(problem,))
    return checked_trial({**given, "part": part}, tuned, now=now, again=again)


def note_trial(wb: Workbench, given: Given, *, now: datetime, by: str = "") -> Noted:
    """A trial on record. One whose key is on record already is that one, as it was then.

    What a rig sends is taken while the study is put away as well, and one that it told of while it ran is
    held against no limit that was noted since: it happened.
    Without a key of its own the same facts again are another trial. Raises BadRecord that names each field.
    """
    with wb.writing():
        ever = trial_store.trials_of(wb, [str(given.get("setup") or "")], ever=True)
        key = str(given.get("key") or "")
        again = key in {each.key for each in ever}
        plain = bool(key) and not hidden_sign(key)
        happened = again or (plain and told_of(wb, key) is not None)
        trial = replace(sound(drafted_trial(wb, given, now=now, again=happened)), by=by)
        if not by:
            refuse_closed(wb, setup_of(wb, trial.setup))
        if not trial.key:
            alike = sum(own_key(each, 0) == own_key(trial, 0) for each in ever)
            trial = replace(trial, key=own_key(trial, alike + 1))
        return Noted(trial=trial_store.add_trial(wb, trial, at=now), again=again)


def take_back_trial(
    wb: Workbench, setup: str, part: str, number: int, reason: str, *, now: datetime
) -> Trial:
    """A trial that was a mistake counts no more; it stays on record with the reason. Raises NotFound."""
    with wb.writing():
        _own_trial(wb, setup, part, number)
        refuse_closed(wb, setup_of(wb, setup))
        return trial_store.take_back_trial(wb, number, reason_given(reason), at=now)


def put_back_trial(wb: Workbench, setup: str, part: str, number: int, reason: str, *, now: datetime) -> Trial:
    """A trial that had been taken back counts again, with the reason.

    Raises NotFound, and BadRecord where it fits the part no more.
    """
    with wb.writing():
        trial = _own_trial(wb, setup, part, number)
        refuse_closed(wb, setup_of(wb, setup))
        _refuse_unfit(trial_problems(trial, tuned_part(wb, setup, part), ()), f"trial {number}")
        return trial_store.put_back_trial(wb, number, reason_given(reason), at=now)


def _refuse_unfit(problems: Iterable[Problem], what: str) -> None:
    """Raises BadRecord where something that is to be put back contradicts how its part is noted by now."""
    for each in problems:
        raise BadRecord(f"{what} fits this part no more: {each.found}", where=what, todo=each.todo)


def _own_trial(wb: Workbench, setup: str, part: str, number: int) -> Trial:
    """A trial of this part. Raises NotFound where it is of another."""
    tuned_part(wb, setup, part)
    trial = trial_store.trial_numbered(wb, number)
    if (trial.setup, trial.part) != (setup, part):
        found = f"trial {number} is of the {trial.part} of {trial.setup}"
        raise NotFound(found, where=f"{part} of {setup}", todo="name that part")
    return trial


def reason_given(given: str) -> str:
    """A reason as it is written. Raises BadRecord where there is none, or one with a hidden sign."""
    if not given.strip():
        todo = "say it in a few words"
        raise BadRecord("it is not said why", where="reason", todo=todo)
    if sign := hidden_sign(given, lines=True):
        raise BadRecord(f"it has a sign in it that nobody sees, {sign}", where="reason", todo="take it out")
    return given.strip()
