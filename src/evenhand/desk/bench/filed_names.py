"""What a run is called in what is said about the file that it was filed from."""

from __future__ import annotations

from evenhand.desk.bench.hiding import names_hidden
from evenhand.desk.bench.masking import masked_id
from evenhand.desk.on_record import load_study
from evenhand.store import runs as run_store
from evenhand.store.workbench import Workbench


def filed_as(wb: Workbench, study: str | None, run: str) -> str:
    """What the run is called, or its masked id while the names of its study are hidden."""
    own = run_store.run(wb, run)
    return f"run {masked_id(run)}" if names_hidden(load_study(wb, study or own.study)) else own.label
