"""Which run a file that came in most likely is, with the reason; it is filed only where that is sure.

What came with the file goes before the plan, the plan before the words in the file's name.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from evenhand.desk.bench.landing import Filing
from evenhand.desk.bench.names_meant import meant, not_of
from evenhand.desk.bench.names_said import said_of_others, words_of
from evenhand.desk.bench.plan_on_record import plan_on_record
from evenhand.desk.bench.plan_order import ahead_of_order, begun_at, skipped_meanwhile
from evenhand.desk.bench.plan_standing import PlanNow
from evenhand.desk.bench.told import Told, told_from
from evenhand.desk.on_record import StudyOnRecord, load_study
from evenhand.desk.study.away import away_now
from evenhand.records.layouts import LogKind
from evenhand.records.plans import Arrival, Slot
from evenhand.records.studies import Study
from evenhand.records.tests import Measures, Test
from evenhand.store import arrivals, plans, shelves
from evenhand.store.workbench import Workbench


@dataclass(frozen=True, slots=True, kw_only=True)
class Proposal:
    """The run that a file most likely is, and why; any of them None where nothing speaks for one.

    `sure` marks a file that may be filed without asking anybody; `against` says what else its name holds.
    `early` marks one that only the order of the plan keeps from that: another run is to be made before it.
    """

    study: str | None = None
    test: str | None = None
    setup: str | None = None
    plan: int | None = None
    slot: int | None = None
    reasons: tuple[str, ...] = ()
    sure: bool = False
    against: str = ""
    early: bool = False


NOTHING = Proposal()

ASTRAY = "its rig made no run when it appeared, so its boot and its conditions are not known"


def propose(wb: Workbench, arrival: Arrival, *, kind: LogKind | None = None) -> Proposal:
    """The most likely run; `kind` is what the file holds, where that is known.

    Of several studies the one that speaks most clearly for it is chosen; two that do so alike leave it open.
    A study that is put away is thought of where no other has such a run.
    """
    told, away = told_from(arrival.about), away_now(wb)
    studies = _studies(wb, told)
    best = _best(wb, arrival, told, [study for study in studies if study.key not in away])
    if best is NOTHING:
        best = _best(wb, arrival, told, [study for study in studies if study.key in away])
    return _fitting(wb, best, kind)


def _best(wb: Workbench, arrival: Arrival, told: Told, studies: Sequence[Study]) -> Proposal:
    """The run of these studies that is spoken for most clearly; NOTHING where none is."""
    found = [_in_study(wb, study, arrival, told) for study in studies]
    found = [each for each in found if each.reasons]
    sure = [each for each in found if each.sure]
    best = (sure or sorted(found, key=lambda each: bool(each.against)) or [NOTHING])[0]
    if len(sure) > 1 and told.study is None:
        best = replace(best, sure=False, reasons=(*best.reasons, "more than one study has such a run"))
    return best


def filing_of(wb: Workbench, arrival: Arrival, proposal: Proposal) -> Filing | None:
    """What an arrival is filed as by a proposal, with all that came with it; None without test or setup."""
    if proposal.study is None or proposal.test is None or proposal.setup is None:
        return None
    told = told_from(arrival.about)
    return Filing(
        study=proposal.study,
        test=proposal.test,
        setup=proposal.setup,
        plan=proposal.plan,
        slot=proposal.slot,
        boot=told.boot,
        order=told.order,
        started_at=told.started_at,
        duration_s=told.duration_s,
        ambient_c=told.ambient_c,
        wall_w=told.wall_w,
        score=told.score,
        label=told.label or "",
        stamps=told.stamps,
        sensors=_beside(wb, told),
    )


def _beside(wb: Workbench, told: Told) -> Arrival | None:
    """The sensor log that came beside it."""
    came = arrivals.arrivals_of(wb, told.sensors) if told.sensors else ()
    return came[0] if came else None


def _studies(wb: Workbench, told: Told) -> Sequence[Study]:
    """The studies in question, the newest first."""
    every = shelves.every(wb, Study)
    return [s for s in reversed(every) if told.study in (None, s.key)]


def _in_study(wb: Workbench, study: Study, arrival: Arrival, told: Told) -> Proposal:
    """The first that speaks for a run of this study; runs and plan, which cost time, are asked for last."""
    strange = not_of(study, told)
    if strange:
        return Proposal(study=study.key, reasons=(strange,)) if told.study == study.key else NOTHING
    at, said = _by_slot(wb, study, told), _by_facts(study, told)
    if at is not None or (said is not None and (told.boot or told.order is not None)):
        return at or said or NOTHING
    record = load_study(wb, study.key)
    plan, words = plan_on_record(record), words_of(arrival.name)
    if said is not None:
        return _in_order(_with_slot(said, plan), plan)
    guess = _by_plan(record, plan, told, arrival) or _by_words(record, plan, words, told) or NOTHING
    return _unless_of_others(wb, record, arrival.name, guess)


def _unless_of_others(wb: Workbench, record: StudyOnRecord, name: str, guess: Proposal) -> Proposal:
    """The same, not sure where the file's name holds that of another study, test, setup or build."""
    if guess is NOTHING:
        return guess
    build = record.setups[guess.setup].build if guess.setup else None
    own = {"study": guess.study, "test": guess.test, "setup": guess.setup, "build": build}
    against = said_of_others(wb, name, own={sort: key for sort, key in own.items() if key is not None})
    return replace(guess, against=against, sure=guess.sure and not against, early=guess.early and not against)


def _by_slot(wb: Workbench, study: Study, told: Told) -> Proposal | None:
    """The file says which slot it is."""
    if told.slot is None:
        return None
    plan = next((plan for plan in plans.plans_of(wb, study.key) if plan.id == told.plan), None)
    slot = plan.slot(told.slot) if plan is not None else None
    if plan is None or slot is None:
        return None
    found = _at(study.key, plan.id, slot, f"it came as slot {told.slot} of the plan")
    if told.test in (None, slot.test) and told.setup in (None, slot.setup):
        return found
    named_so = " and ".join(f"'{key}'" for key in (told.test, told.setup) if key)
    return replace(
        found, sure=False, reasons=(*found.reasons, f"it names {named_so}, and that slot is another’s")
    )


def _by_facts(study: Study, told: Told) -> Proposal | None:
    """The file says its test and setup."""
    if told.test not in study.tests or told.setup not in study.setups:
        return None
    return Proposal(
        study=study.key,
        test=told.test,
        setup=told.setup,
        reasons=("its test and setup came with it",),
        sure=True,
    )


def _by_plan(record: StudyOnRecord, plan: PlanNow | None, told: Told, arrival: Arrival) -> Proposal | None:
    """The next slot: of the build that brought it, or whose words its name bears, or the only one due.

    It is sure only where that slot is up, none was skipped since the file was begun, and its rig, if it came
    from one, was at a run.
    """
    if plan is None:
        return None
    tests, setups = meant(record, told, words_of(arrival.name))
    builds = {record.setups[s].build for s in setups} | ({told.build} if told.build else set())
    slot = plan.next_on(next(iter(builds))) if len(builds) == 1 else None
    why = "it is the next run of this build in the plan"
    if slot is None and not builds and len(plan.due) == 1:
        slot, why = plan.due[0], "it is the next run in the plan"
    if slot is None:
        return None
    if (tests and slot.slot.test not in tests) or (setups and slot.slot.setup not in setups):
        return None  # its name says otherwise
    early = ahead_of_order(plan, slot)
    rig = next(iter(builds)) if len(builds) == 1 else None
    skipped = skipped_meanwhile(record, plan, begun=begun_at(arrival), rig=rig)
    astray = ASTRAY if told.astray else ""
    doubts = tuple(filter(None, (early, skipped, astray)))
    found = _at(record.study.key, plan.plan.id, slot.slot, why)
    return replace(
        found,
        reasons=(*found.reasons, *doubts),
        sure=not doubts,
        early=bool(early) and not skipped and not astray,
    )


def _by_words(
    record: StudyOnRecord, plan: PlanNow | None, words: Sequence[str], told: Told
) -> Proposal | None:
    """What came with it, or else the words of its name, say a test and a setup."""
    tests, setups = meant(record, told, words)
    if not tests and not setups:
        return None
    test = next(iter(tests)) if len(tests) == 1 else None
    setup = next(iter(setups)) if len(setups) == 1 else None
    reasons = tuple(
        f"its {kind} '{key}' came with it" if came else f"its name says {kind} '{key}'"
        for kind, key, came in (("test", test, told.test), ("setup", setup, told.setup))
        if key is not None
    )
    guess = Proposal(study=record.study.key, test=test, setup=setup, reasons=reasons)
    # Where a plan stands and wants another run now, a name alone is no reason to file unseen.
    sure = test is not None and setup is not None and plan is None
    return _with_slot(replace(guess, sure=sure), plan)


def _at(study: str, plan: int, slot: Slot, why: str) -> Proposal:
    return Proposal(
        study=study, test=slot.test, setup=slot.setup, plan=plan, slot=slot.number, reasons=(why,), sure=True
    )


def _with_slot(guess: Proposal, plan: PlanNow | None) -> Proposal:
    """The same under the first open slot for its test and setup, if the plan has one."""
    if plan is None:
        return guess
    fits = (now.slot for now in plan.coming if (now.slot.test, now.slot.setup) == (guess.test, guess.setup))
    slot = next(fits, None)
    return guess if slot is None else replace(guess, plan=plan.plan.id, slot=slot.number)


def _in_order(guess: Proposal, plan: PlanNow | None) -> Proposal:
    """The same, not sure where its slot is not up yet: the boot and order of that would become the run's."""
    slot = plan.now(guess.slot) if plan is not None and guess.slot is not None else None
    early = ahead_of_order(plan, slot) if plan is not None and slot is not None else ""
    return replace(guess, sure=False, early=True, reasons=(*guess.reasons, early)) if early else guess


def _fitting(wb: Workbench, guess: Proposal, kind: LogKind | None) -> Proposal:
    """A guess whose test needs another kind of file is not sure; a sensor log is no run of its own."""
    if kind is LogKind.SENSORS:
        return Proposal(reasons=("it looks like a sensor log, which goes beside the run it was taken in",))
    if kind is None or guess.test is None:
        return guess
    needs = shelves.one(wb, Test, guess.test).measures
    if (needs is Measures.FRAMES) == (kind is LogKind.FRAMES):
        return guess
    measures = "frames" if needs is Measures.FRAMES else "a score"
    said = f"it looks like a log of {kind}, and that test measures {measures}"
    return replace(guess, sure=False, reasons=(*guess.reasons, said))
