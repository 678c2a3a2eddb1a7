"""Whether a rig's clock can be right: a run that ends after it came in, or starts before an earlier one."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime, timedelta

from evenhand.desk.on_record import RunOnRecord, StudyOnRecord

GIVE = timedelta(minutes=3)  # clocks that nobody set by hand agree within this
SAME_DAY = timedelta(hours=12)  # an earlier run is held beside one of the same bench day alone
HOUR = timedelta(hours=1)


def clock_doubt(record: StudyOnRecord, each: RunOnRecord, came: Mapping[str, datetime]) -> str:
    """Why the start that a log states cannot be right, with the amount; "" where nothing speaks against it.

    `came` says when each run was filed, by its id, in the workbench's time. Starts carry their offset, so
    summer time alone moves nothing: what is off by an hour is a clock or a zone set wrongly.
    """
    start, landed = each.run.started_at, came.get(each.run.id)
    if start is None or landed is None:
        return ""
    ahead = start + timedelta(seconds=each.run.duration_s or 0.0) - landed
    if ahead > GIVE:
        return f"Its log ends {amount_words(ahead)} after it came in: the rig’s clock is ahead{hint(ahead)}."
    behind = _before(record, each, came) - start
    if behind > GIVE:
        told = f"Its log starts {amount_words(behind)} before that of the run made before it on this rig"
        return f"{told}: the rig’s clock was set back{hint(behind)}."
    return ""


def _before(record: StudyOnRecord, each: RunOnRecord, came: Mapping[str, datetime]) -> datetime:
    """The start of the run that came in last before this one from the same rig, or this one's own."""
    start, landed = each.run.started_at, came[each.run.id]
    assert start is not None
    rig = record.setups[each.run.setup].build
    earlier = [
        (came[other.run.id], other.run.started_at)
        for other in record.runs
        if other.run.started_at is not None
        and record.setups[other.run.setup].build == rig
        and other.run.id in came
        and landed - SAME_DAY < came[other.run.id] < landed
    ]
    return max(earlier)[1] if earlier else start


def hint(off: timedelta) -> str:
    """What such an amount looks like: whole hours are a time zone or summer time.

    >>> hint(timedelta(minutes=58)), hint(timedelta(minutes=25))
    (', as by summer time or a wrong time zone', '')
    """
    hours = round(off / HOUR)
    whole = hours >= 1 and abs(off - hours * HOUR) <= timedelta(minutes=10)
    return ", as by summer time or a wrong time zone" if whole else ""


def amount_words(off: timedelta) -> str:
    r"""An amount of time to the minute.

    >>> [amount_words(timedelta(minutes=minutes)) for minutes in (58, 61.4, 2880)]
    ['58\xa0min', '1\xa0h 1\xa0min', '2\xa0days']
    """
    minutes = round(off / timedelta(minutes=1))
    if minutes >= 2 * 24 * 60:
        return f"{minutes // (24 * 60)}\N{NO-BREAK SPACE}days"
    hours, rest = divmod(minutes, 60)
    said = (f"{hours}\N{NO-BREAK SPACE}h" if hours else "", f"{rest}\N{NO-BREAK SPACE}min" if rest else "")
    return " ".join(filter(None, said))
