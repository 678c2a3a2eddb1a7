"""The files of one run: its originals as they came, and its trace as a picture of its own."""

from __future__ import annotations

import re
from dataclasses import dataclass
from pathlib import PurePosixPath

from evenhand.desk.comparison.charting import drawn_names, trace_scene
from evenhand.desk.on_record import RunOnRecord, StudyOnRecord
from evenhand.desk.study.terms import changed_terms
from evenhand.errors import NotFound
from evenhand.publish.figures.traces import frame_time_trace
from evenhand.publish.picture import standalone
from evenhand.publish.style import page
from evenhand.store import originals
from evenhand.store.workbench import Workbench

LOG, SENSORS = "log", "sensors"
UNSAFE = re.compile(r"[^A-Za-z0-9._ -]+")
LONGEST = 100  # signs of a file name


@dataclass(frozen=True, slots=True, kw_only=True)
class Original:
    """A file as it came, under a name that any system takes."""

    name: str
    data: bytes


def original_of(wb: Workbench, each: RunOnRecord, which: str) -> Original:
    """The run's log, or its sensor log. Raises NotFound where it came without one."""
    digest = {LOG: each.run.log, SENSORS: each.run.sensors}.get(which)
    if digest is None:
        raise NotFound(
            f"this run came without a {which} file", where=each.run.label, todo="see its other files"
        )
    known = originals.names(wb, digest)
    return Original(
        name=plain_name(known[0] if known else "", otherwise=f"{which}-{each.run.id}"),
        data=originals.original(wb, digest),
    )


def plain_name(name: str, *, otherwise: str) -> str:
    r"""A file name without folders and without signs that a header or a system might take for its own.

    >>> plain_name("logs/Wren\r\n\"run\" 1.csv", otherwise="log"), plain_name("../..", otherwise="log")
    ('Wren_run_ 1.csv', 'log')
    """
    last = PurePosixPath(name.replace("\\", "/")).name
    plain = UNSAFE.sub("_", last).strip(" .")
    return plain[-LONGEST:] or otherwise


def trace_picture(wb: Workbench, record: StudyOnRecord, each: RunOnRecord) -> str:
    """The run's frames over time as an SVG file, fonts inside. Raises NotFound where it has none."""
    test = record.tests[each.run.test]
    scene = trace_scene(wb, record, each, test)
    names = drawn_names(record, changed_terms(wb, record), test=test.key)
    return standalone(frame_time_trace(scene, names, style=page())[0])
