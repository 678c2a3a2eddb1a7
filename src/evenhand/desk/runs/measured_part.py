"""Which part of a run's log its numbers are of, in a sentence."""

from __future__ import annotations

from evenhand.desk.logs.measuring import window_of
from evenhand.desk.on_record import RunOnRecord
from evenhand.publish.direction import isolated
from evenhand.publish.window_words import window_words
from evenhand.records.tests import Test


def measured_part(test: Test, each: RunOnRecord) -> str:
    """What is measured of this run, of whose will, and why; "" where that is all of its log."""
    window = window_of(test, each.run)
    because = f", because {window.reason.rstrip('.')}" if window.reason else ""
    by = f" (cut by {window.by})" if window.by else ""
    said = window_words(window)
    if each.run.window is not None:
        return f"Of this run alone {said} is measured, otherwise than of its siblings{because}{by}."
    return "" if window.whole else f"Of every run of {isolated(test.name)} {said} is measured{because}{by}."
