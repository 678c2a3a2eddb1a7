"""A file that could not land and yet does not wait: it is a run already, or was put away before."""

from __future__ import annotations

from dataclasses import dataclass

from evenhand.desk.bench.hiding import names_hidden
from evenhand.desk.bench.masking import masked_id
from evenhand.desk.bench.placing import standing
from evenhand.desk.on_record import RunOnRecord, load_study
from evenhand.desk.runs.run_names import run_named
from evenhand.errors import EvenhandError
from evenhand.records.plans import Arrival
from evenhand.store.workbench import Workbench


@dataclass(frozen=True, slots=True, kw_only=True)
class SentAgain:
    """What a file is already, in words with what to do; `run` where it is a run."""

    words: str
    run: RunOnRecord | None = None


def sent_again(wb: Workbench, arrival: Arrival, trouble: EvenhandError) -> SentAgain | None:
    """What an arrival is that was refused by this trouble; None where it waits in the inbox for somebody."""
    last = standing(wb, arrival.id)
    if last is None or not (last.run or last.away):
        return None
    why = f"Nothing new was filed: {trouble.found}."
    if last.run is None or last.study is None:
        said = f" ({last.note.rstrip('.')})" if last.note else ""
        return SentAgain(
            words=f"{why} These very bytes came in before and were put away as no run{said}. What to do: "
            "if it is a run, bring it back in the inbox and say there which one."
        )
    record = load_study(wb, last.study)
    held = record.run(last.run)
    called = f"run {masked_id(held.run.id)}" if names_hidden(record) else run_named(record, held)
    return SentAgain(
        run=held,
        words=f"{why} These very bytes are on record already, as {called}, in “{record.study.title}”. "
        "What to do: nothing, if that run is meant. If it was filed wrongly, set that run aside and send the "
        "file under another name: it waits in the inbox then, to be filed as what it is.",
    )
