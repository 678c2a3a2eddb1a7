"""What the tables of a data bundle hold of tuned parts: every trial, every limit, and what is claimed."""

from __future__ import annotations

from collections.abc import Iterator

from evenhand.editions.snapshot import Snapshot, Table
from evenhand.editions.table_shapes import Shape
from evenhand.editions.tuned import limit_rows, said_rows, trial_rows

PART = (("setup", "string", "Key of the setup."), ("part", "string", "Kind of the part that is tuned."))


def _claims(snapshot: Snapshot) -> Iterator[Table]:
    for row in said_rows(snapshot):
        claim = row["claim"]
        if claim is not None:
            low, high = claim["rooms_c"] or (None, None)
            yield {**row, **claim, "room_low_c": low, "room_high_c": high}


TUNED_SHAPES = (
    Shape(
        name="trials", description="Every trial of every tuned part, those taken back as well.",
        rows=trial_rows,
        columns=(
            *PART, ("key", "string", "The trial's own key."),
            ("at", "string", "When it began."),
            ("clock_mhz", "number", "Clock that was set, in MHz."),
            ("voltage_mv", "number", "Voltage that was set, or what was added to the part's own, in mV."),
            ("settings", "string", "What else was set, as a JSON object."),
            ("load", "string", "What ran."),
            ("planned_h", "number", "For how many hours it was to run."),
            ("hours", "number", "How long it is known to have held."),
            ("outcome", "string", "passed, wrong result, error, crash, reboot, throttled or stopped."),
            ("found_after_h", "number", "By when it had failed, where that was only found later."),
            ("errors", "integer", "Errors that the load counted."),
            ("corrected", "integer", "How many of these something put right."),
            ("room_c", "number", "Air that the machine drew in, in °C."),
            ("hottest_c", "number", "The part's highest reading, in °C."),
            ("watts", "number", "Watts on average while the load ran."),
            ("watts_at", "string", "Where they were read: wall or part."),
            ("taken_back", "string", "Why it counts no more; empty where it counts."),
        ),
    ),
    Shape(
        name="limits", description="The most that makers allow of their parts.", rows=limit_rows,
        columns=(
            *PART, ("quantity", "string", "voltage, clock, temperature or power."),
            ("most", "number", "The most that is allowed."), ("unit", "string", "Its unit."),
            ("source", "string", "Where that is written."), ("read_on", "string", "The day it was read."),
        ),
    ),
    Shape(
        name="tuned", description="What each tuned part may be called under each load.", rows=_claims,
        columns=(
            *PART, ("load", "string", "What ran."),
            ("settings", "string", "What else was set, as a JSON object."),
            ("clock_mhz", "number", "The clock of the point that is spoken of, in MHz."),
            ("voltage_mv", "number", "Its voltage, in mV."),
            ("hours", "number", "Hours there in all."),
            ("failures", "integer", "Failures in these hours."),
            ("room_low_c", "number", "The coolest room that was read, in °C."),
            ("room_high_c", "number", "The warmest."),
            ("unread_rooms", "integer", "Trials there whose room was not read."),
            ("most_per_h", "number", "Upper bound of failures an hour at 95 %."),
            ("may", "string", "What it may be called."),
        ),
    ),
)  # fmt: skip
