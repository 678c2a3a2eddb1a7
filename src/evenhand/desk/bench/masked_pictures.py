"""What pictures show of runs while the names of builds are hidden: letters, masked ids, colours by lot."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from evenhand.desk.bench.masking import Mask, find_masked, masked_id
from evenhand.desk.on_record import RunOnRecord, StudyOnRecord
from evenhand.errors import NotFound
from evenhand.publish.figures.evidence_views import Evidence
from evenhand.publish.figures.traces import TraceScene
from evenhand.publish.names import Names, SetupName
from evenhand.publish.palette import SLOTS
from evenhand.store.workbench import Workbench
from evenhand.triage.exhibits.forms import Below, Saying, Sayings


def masked_names(names: Names, mask: Mask) -> Names:
    """Letters for setups, each in the colour of its place in the alphabet; nothing of the conditions."""
    setups = {
        key: SetupName(name=letter, slot=1 + place % len(SLOTS))
        for place, (key, letter) in enumerate(mask.setups.items())
    }
    return replace(names, setups=setups, terms="")


def masked_scene(scene: TraceScene, mask: Mask, run: str) -> TraceScene:
    """A trace under the masked id of its `run`, its faults told with letters."""
    return replace(scene, run=masked_id(run), faults=tuple(mask.fault(f, run) for f in scene.faults))


def masked_evidence(evidence: Evidence, mask: Mask, run: str) -> Evidence:
    """Evidence under the masked id of its `run`, told with letters and masked ids."""
    below = None if evidence.below is None else masked_below(evidence.below, mask, run)
    return replace(evidence, run=masked_id(run), fault=mask.fault(evidence.fault, run), below=below)


def masked_below(below: Below, mask: Mask, run: str) -> Below:
    """A second view with the words that people wrote masked; its numbers stay."""
    return replace(below, rows=masked_rows(below.rows, mask, run)) if isinstance(below, Sayings) else below


def masked_rows(rows: Sequence[Saying], mask: Mask, run: str) -> tuple[Saying, ...]:
    """What runs say beside the `run` of this id, each under its masked id."""
    return tuple(
        replace(row, who=masked_who(row.who, mask, run), value=mask.written(row.value)) for row in rows
    )


def masked_who(who: str, mask: Mask, run: str) -> str:
    """Who says it: a run's label stands first, and gives way to its masked id even where it is a bare "1".

    Of runs labelled alike, one of the cell of `run` is meant.
    """
    labels = mask.labels_of((*mask.labels, *mask.cells.get(run, ()), run))
    told = [label for label in labels if who == label or who.startswith(f"{label}, ")]
    if not told:
        return who
    label = max(told, key=len)
    return labels[label] + who[len(label) :]


def own_masked_run(wb: Workbench, record: StudyOnRecord, code: str) -> RunOnRecord:
    """The run of a study under this masked id. Raises NotFound where it is another study's, or nobody's."""
    found = find_masked(wb, code)
    each = next((own for own in record.runs if own.run.id == found.run.id), None)
    if each is None:
        raise NotFound(
            f"no run of study '{record.study.key}' goes by '{code}' while names are masked",
            where=str(wb.path),
            todo=f"take its id from `evenhand runs {record.study.key} --masked`",
        )
    return each
