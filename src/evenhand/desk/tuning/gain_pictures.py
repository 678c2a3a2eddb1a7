"""The gain of a tuned setup by test as intervals, tuned and stock told apart by their state."""

from __future__ import annotations

from dataclasses import replace

from evenhand.desk.on_record import StudyOnRecord
from evenhand.desk.tuning.gained import Gained
from evenhand.desk.tuning.gained_said import by_state, held_of, price_said
from evenhand.publish.figures.intervals import interval_plot
from evenhand.publish.names import Names
from evenhand.publish.picture import Picture
from evenhand.publish.style import Style
from evenhand.publish.tuning.gain import doubt_foot, gain_titles, rise_foot, tuning_called


def gain_pictures(found: Gained, record: StudyOnRecord, names: Names, *, style: Style) -> tuple[Picture, ...]:
    """Every test with its interval and the level band; none where no test has a ratio."""
    if all(finding.ratio is None for finding in found.comparison.findings):
        return ()
    what = tuning_called(record.builds[found.build].name, found.parts)
    states = replace(names, setups={**names.setups, **by_state(found, names)}, terms="")
    said = gain_titles(what, held_of(found), price_said(found), margin=record.study.margin)
    foot = (*doubt_foot(found.shares, names), *rise_foot(found.rises))
    return interval_plot(found.comparison, states, style=style, said=said, reserved=foot, subject=False)
