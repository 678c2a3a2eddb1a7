"""A file that somebody dropped: kept, then filed, known again, or waiting in the inbox, in a sentence."""

from __future__ import annotations

import re
from dataclasses import dataclass, replace
from datetime import datetime

from evenhand.desk.bench.hiding import names_hidden
from evenhand.desk.bench.masking import mask_of, masked_id
from evenhand.desk.bench.placing import bring_back, standing
from evenhand.desk.bench.uploading import BESIDE, Came, take_in
from evenhand.desk.logs.identity import digest
from evenhand.desk.logs.recognising import Known, recognised
from evenhand.desk.on_record import load_study
from evenhand.errors import BadLog, NotFound
from evenhand.publish.numbers import capital
from evenhand.store.workbench import Workbench
from evenhand.traces.limits import Limits, check_size

DROP_LIMITS = Limits(max_bytes=512 * 2**20)
"""Past this a log is brought in from the terminal: a browser and this program would hold it in memory."""

A_RUN = re.compile(r"/studies/(?P<study>[^/]+)/runs/(?P<run>[0-9a-f]+)")


@dataclass(frozen=True, slots=True, kw_only=True)
class Dropped:
    """What became of one file; `address` is where to look at it.

    `sort` is filed, known, waits, refused, or begun for an archive that is still being unpacked.
    """

    name: str
    sort: str
    words: str
    address: str = ""


def drop_file(wb: Workbench, data: bytes, *, name: str, study: str = "", by: str, now: datetime) -> Dropped:
    """Keep a file that somebody dropped, and file it where it is sure which run it is.

    `study` is the one on whose pages it was dropped. One that is a run already, or waits already, is known
    again; one that was put away waits again.
    """
    known = recognised(wb, digest(data))
    if known is not None:
        return unnamed(wb, again(wb, known, name=name, by=by, now=now), study=study)
    try:
        check_size(max(len(data), 1), name=name, limits=DROP_LIMITS)
        came = take_in(wb, data, name=name, facts={"study": study} if study else {}, by=by, now=now)
    except BadLog as trouble:
        return Dropped(name=name, sort="refused", words=f"{sentence(trouble.found)} {sentence(trouble.todo)}")
    return unnamed(wb, dropped_as(came), study=study)


def unnamed(wb: Workbench, came: Dropped, *, study: str) -> Dropped:
    """The same without names and numbers while those of its study are hidden.

    `study` is the one that it came for, "" for any.
    """
    found = A_RUN.fullmatch(came.address)
    whose = found["study"] if found else study
    try:
        record = load_study(wb, whose)
    except NotFound:  # for any study, or one that is not here: then it is filed nowhere
        return came
    if not names_hidden(record):
        return came
    mask = mask_of(record)
    name = mask.file_name(came.name)
    if found is None:
        return replace(came, name=name, words=mask.told(came.words, mask.labels))
    run = masked_id(found["run"])
    words = f"It is run {run}; whose it is and its number are hidden."
    return replace(came, name=name, words=words, address=f"/studies/{whose}/runs/{run}?masked=1")


def again(wb: Workbench, known: Known, *, name: str, by: str, now: datetime) -> Dropped:
    """A file that was seen before; one that somebody had put away waits again, since it was brought again."""
    last = standing(wb, known.away) if known.away else None
    if last is not None and last.note != BESIDE:
        bring_back(wb, known.away, by=by, now=now)
        words = f"{known.words} Now it waits in the inbox again."
        return Dropped(name=name, sort="waits", words=words, address=f"/inbox#file-{known.away}")
    return Dropped(name=name, sort="known", words=known.words, address=known.address)


def dropped_as(came: Came) -> Dropped:
    """What became of a file that was new."""
    name = came.arrival.name
    if came.before is not None:
        run = came.before.run and came.before.run.run
        there = f"/studies/{run.study}/runs/{run.id}" if run else "/inbox"
        return Dropped(name=name, sort="known", words=came.before.words, address=there)
    if came.landed is None:
        why = sentence((came.waits or BESIDE).removeprefix(f"{name}: "))
        there = f"/inbox#file-{came.arrival.id}" if came.waits else ""
        return Dropped(name=name, sort="waits", words=why, address=there)
    run, state = came.landed.run.run, came.landed.run.state
    more = f" {len(came.landed.also)} more rows of it are runs too." if came.landed.also else ""
    number = f", {came.number}" if came.number else ""
    return Dropped(
        name=name,
        sort="known" if came.landed.again else "filed",
        words=f"Filed as {run.label}{number}: {state.value}.{more}{f' {came.doubt}' if came.doubt else ''}",
        address=f"/studies/{run.study}/runs/{run.id}",
    )


def sentence(words: str) -> str:
    """Words as a sentence of their own.

    >>> sentence("the file is empty"), sentence("why?"), sentence("")
    ('The file is empty.', 'Why?', '')
    """
    plain = words.strip()
    return capital(plain if plain[-1:] in ("", ".", "?") else f"{plain}.")
