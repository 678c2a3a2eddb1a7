"""What a rig is told: the run that the plan wants from it next, in words and as facts."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping
from dataclasses import asdict, dataclass
from typing import Any

from evenhand.desk.bench.hiding import names_hidden
from evenhand.desk.bench.plan_standing import PlanNow, SlotNow
from evenhand.desk.bench.planning import plan_now
from evenhand.desk.bench.slot_files import waiting_by_slot
from evenhand.desk.on_record import StudyOnRecord, load_study
from evenhand.desk.study.away import AWAY_SINCE, away_now, since_words, studies_at_hand
from evenhand.publish.numbers import capital, count_word, counted
from evenhand.store.workbench import Workbench


@dataclass(frozen=True, slots=True, kw_only=True)
class NextRun:
    """A run that a rig is to make, or why it is to make none now."""

    facts: dict[str, Any] | None
    words: str
    left: int = 0


def next_for(wb: Workbench, build: str | None, *, taken: Collection[tuple[int, int]] = ()) -> NextRun:
    """The next run of a rig that is this build, or of any rig; `taken` slots (plan, number) are others'.

    A slot is only handed out when its turn has come, so that builds stay balanced against each other.
    """
    waits = 0
    for record, plan in planned(wb):
        open_slots = [now for now in plan.coming if build is None or now.rig == build]
        free = [now for now in open_slots if now.due and (plan.plan.id, now.slot.number) not in taken]
        if free:
            return told(record, plan, free[0], left=len(open_slots), files=waiting_by_slot(wb))
        waits += len(open_slots)
    if waits:
        return NextRun(facts=None, words="Another rig has its turn first.", left=waits)
    return NextRun(facts=None, words=away_words(wb, build) or "Nothing is planned for this rig now.")


def planned(wb: Workbench) -> Iterator[tuple[StudyOnRecord, PlanNow]]:
    """Every study at hand that has a plan with something left to run, the newest study first."""
    for study in reversed(studies_at_hand(wb)):
        yield from going_on(wb, study.key)


def going_on(wb: Workbench, study: str) -> Iterator[tuple[StudyOnRecord, PlanNow]]:
    """A study with its plan, if that has something left to run."""
    record = load_study(wb, study)
    plan = plan_now(wb, study, record=record)
    if plan is not None and not plan.finished:
        yield record, plan


def away_words(wb: Workbench, build: str | None) -> str:
    """That a plan wants runs of this rig, but its study is put away; "" where none does."""
    for key, away in reversed(away_now(wb).items()):
        for record, plan in going_on(wb, key):
            left = sum(build is None or now.rig == build for now in plan.coming)
            if left:
                of = "planned {}" if build is None else "{} of this rig"
                runs = counted(left, f"{of.format('run')} waits", f"{of.format('runs')} wait")
                return (
                    f"The study “{record.study.title}” {AWAY_SINCE} {since_words(away)}. "
                    f"{capital(runs)} until it is brought back."
                )
    return ""


def told(
    record: StudyOnRecord, plan: PlanNow, now: SlotNow, *, left: int, files: Mapping[tuple[int, int], str]
) -> NextRun:
    """A slot as a rig needs it; `files` are those of the inbox that most likely are runs, by their slot."""
    slot, test = now.slot, record.tests[now.slot.test]
    facts = {
        "study": record.study.key,
        "plan": plan.plan.id,
        "slot": slot.number,
        "test": slot.test,
        "setup": slot.setup,
        "boot": slot.boot,
        "order": slot.order,
        "measures": test.measures.value,
        "scene": test.scene,
        "minutes": slot.minutes,
        "script": None if test.script is None else asdict(test.script),
        "why": now.why,
        "hidden": names_hidden(record),
        "waiting": files.get((plan.plan.id, slot.number), ""),
        "words": words_of(record, plan, now),
    }
    return NextRun(facts=facts, words=str(facts["words"]), left=left)


def words_of(record: StudyOnRecord, plan: PlanNow, now: SlotNow) -> str:
    """A slot in a line, for a terminal: its parts stand apart, since names may hold commas."""
    slot, test = now.slot, record.tests[now.slot.test]
    parts = [
        f"run {plan.place(slot.number)} of {len(plan.slots)}",
        test.name,
        record.setups[slot.setup].name,
        f"boot {slot.boot}",
        f"scene: {test.scene}" if test.scene else "",
        "; ".join(f"{key} {value}" for key, value in test.settings.items()),
        now.why,
    ]
    return " · ".join(filter(None, parts))


def came_of(state: str, average: str, faults: tuple[str, ...]) -> str:
    """What became of a run that a rig brought, in a line for its terminal.

    >>> came_of("landed", "88.1 fps", ())
    'Landed: 88.1 fps.'
    >>> came_of("in doubt", "143.9 fps", ("Looks capped at 143.9 fps",))
    'In doubt: 143.9 fps. Looks capped at 143.9 fps.'
    """
    said = f"{state.capitalize()}: {average}." if average else f"{state.capitalize()}."
    if len(faults) > 1:
        return f"{said} {count_word(len(faults)).capitalize()} faults: {'; '.join(faults)}."
    return f"{said} {faults[0]}." if faults else said
