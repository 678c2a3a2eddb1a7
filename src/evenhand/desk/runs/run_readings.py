"""The room and the watts at the wall, noted for a run that has landed."""

from __future__ import annotations

from evenhand.desk.bench.bench_values import UNITS, understood
from evenhand.desk.bench.planning import note
from evenhand.desk.bench.slot_readings import carry_and_judge
from evenhand.desk.bench.slots import slot_of
from evenhand.desk.on_record import load_study
from evenhand.desk.runs.said import Said
from evenhand.desk.study.away import refuse_away
from evenhand.errors import BadRecord
from evenhand.store import runs as run_store
from evenhand.store.workbench import Workbench


def note_run(wb: Workbench, run: str, key: str, value: str, *, said: Said) -> str:
    """Notes `ambient_c` or `wall_w` for a run, and beside its slot if it has one; why it looks odd, or "".

    An empty value takes it away; what stood before stays in history. Raises BadRecord for what is no such
    number.
    """
    if key not in UNITS:
        raise BadRecord(f"'{key}' is nothing to note", where="run", todo=f"one of: {', '.join(UNITS)}")
    text = f"{understood(key, value):g}" if value.strip() else ""
    refuse_away(wb, *run_store.studies_of(wb, run))
    record = load_study(wb, run_store.run(wb, run).study)
    held = slot_of(record, run)
    doubt = ""
    if held is not None and record.plan is not None and not held.state.open:
        place = (record.plan.id, held.slot.number)
        doubt = note(wb, *place, key, text, by=said.by, now=said.now).doubt
    carry_and_judge(wb, run, key, text, now=said.now)
    return doubt
