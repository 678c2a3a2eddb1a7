"""What pictures show of runs while the names of builds are hidden: letters, masked ids, colours by lot."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from evenhand.desk.masking import Mask, find_masked, masked_id
from evenhand.desk.on_record import RunOnRecord, StudyOnRecord
from evenhand.errors import NotFound
from evenhand.publish.figures.evidence_views import Below, Evidence, SensorCurve, Stamp, StampRows
from evenhand.publish.figures.traces import TraceScene
from evenhand.publish.names import Names, SetupName
from evenhand.publish.palette import SLOTS
from evenhand.store.workbench import Workbench


def masked_names(names: Names, mask: Mask) -> Names:
    """Letters for setups, each in the colour of its place in the alphabet; nothing of the conditions."""
    setups = {
        key: SetupName(name=letter, slot=1 + place % len(SLOTS))
        for place, (key, letter) in enumerate(mask.setups.items())
    }
    return replace(names, setups=setups, terms="")


def masked_scene(scene: TraceScene, mask: Mask, run: str) -> TraceScene:
    """A trace under the masked id of its `run`, its faults told with letters."""
    return replace(scene, run=masked_id(run), faults=tuple(map(mask.fault, scene.faults)))


def masked_evidence(evidence: Evidence, mask: Mask, run: str) -> Evidence:
    """Evidence under the masked id of its `run`, told with letters and masked ids."""
    below = None if evidence.below is None else masked_below(evidence.below, mask)
    return replace(evidence, run=masked_id(run), fault=mask.fault(evidence.fault), below=below)


def masked_below(below: Below, mask: Mask) -> Below:
    """A second view with the words in it masked; its numbers stay."""
    if isinstance(below, StampRows):
        return replace(below, rows=masked_rows(below.rows, mask))
    if isinstance(below, SensorCurve):
        return replace(below, what=mask.text(below.what), limit_words=mask.text(below.limit_words))
    return below


def masked_rows(rows: Sequence[Stamp], mask: Mask) -> tuple[Stamp, ...]:
    """What runs say, each under its masked id."""
    return tuple(replace(row, who=masked_who(row.who, mask), value=mask.text(row.value)) for row in rows)


def masked_who(who: str, mask: Mask) -> str:
    """Who says it: a run's label stands first, and gives way to its masked id even where it is a bare "1"."""
    plain = who.casefold()
    labels = [name for name in mask.names if plain == name or plain.startswith(f"{name}, ")]
    if not labels:
        return mask.text(who)
    label = max(labels, key=len)
    return mask.names[label] + mask.text(who[len(label) :])


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
