"""What became of a study, in lines of JSON beside its study file: changed records, arrivals, frozen results.

Both files are written by export and only ever grow: a study that is brought in with them has the same past.
"""

from __future__ import annotations

import json
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import Any, NoReturn, TypeAlias, TypeVar

from pydantic import AwareDatetime, BaseModel, ConfigDict, TypeAdapter, ValidationError

from evenhand.errors import BadRecord, nearest
from evenhand.records.builds import Build, Part, Setup
from evenhand.records.runs import Run
from evenhand.records.studies import Study
from evenhand.records.tests import Test

HISTORY_FILE = "history.jsonl"
RESULTS_FILE = "results.jsonl"

Record: TypeAlias = Part | Build | Setup | Test | Study | Run
Lines: TypeAlias = Iterable[tuple[int, str]]

KINDS: Mapping[str, type[Record]] = {
    "part": Part,
    "build": Build,
    "setup": Setup,
    "test": Test,
    "study": Study,
    "run": Run,
}
ARRIVAL = "arrival"
TODO = (
    "take the file as export wrote it, or take it out of the folder: the study comes in without its past then"
)


@dataclass(frozen=True, slots=True, kw_only=True)
class PastChange:
    """A record that was new (`before` None) or changed; or the arrival of a run in the study (neither).

    `record` is a kind of record, or "arrival"; `key` the record's key, or the run's id.
    """

    record: str
    key: str
    at: datetime
    before: Record | None = None
    after: Record | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class PastResult:
    """A frozen result; `body` is the text of its answer, as it was frozen."""

    at: datetime
    code_version: str
    input_hash: str
    body: str


class _ChangeLine(BaseModel):
    model_config = ConfigDict(extra="forbid", strict=True)

    record: str
    key: str
    at: AwareDatetime
    before: dict[str, Any] | None = None
    after: dict[str, Any] | None = None


class _ResultLine(BaseModel):
    model_config = ConfigDict(extra="forbid", strict=True)

    at: AwareDatetime
    code_version: str
    input_hash: str
    body: str


_AnyLine = TypeVar("_AnyLine", bound=BaseModel)


def change_line(
    record: str,
    key: str,
    *,
    at: datetime,
    before: Mapping[str, Any] | None = None,
    after: Mapping[str, Any] | None = None,
) -> str:
    """One line of the history; `before` and `after` are a record's fields as JSON.

    >>> from datetime import UTC
    >>> change_line("arrival", "f429", at=datetime(2031, 5, 4, tzinfo=UTC))
    '{"record": "arrival", "key": "f429", "at": "2031-05-04T00:00:00+00:00"}'
    """
    told = {"record": record, "key": key, "at": at.isoformat(), "before": before, "after": after}
    return _line({name: value for name, value in told.items() if value is not None})


def result_line(result: PastResult) -> str:
    """One line of the frozen results."""
    return _line({
        "at": result.at.isoformat(), "code_version": result.code_version,
        "input_hash": result.input_hash, "body": result.body,
    })  # fmt: skip


def _line(told: Mapping[str, Any]) -> str:
    return json.dumps(told, ensure_ascii=False)


def read_changes(lines: Lines, *, where: str) -> Iterator[PastChange]:
    """The changes, in the order in which they happened; `lines` come with their numbers.

    Raises BadRecord with the line that cannot be used.
    """
    for number, text in lines:
        place = f"{where}, line {number}"
        line = _checked(_ChangeLine, text, place)
        if line.record not in (*KINDS, ARRIVAL):
            raise BadRecord(
                f"unknown record '{line.record}'", where=place, todo=nearest(line.record, (*KINDS, ARRIVAL))
            )
        if (line.after is None) != (line.record == ARRIVAL):
            raise BadRecord("'after' is what a record became, and no arrival has it", where=place, todo=TODO)
        before, after = (_record(line, fields, place) for fields in (line.before, line.after))
        yield PastChange(record=line.record, key=line.key, at=line.at, before=before, after=after)


def read_results(lines: Lines, *, study: str, where: str) -> Iterator[PastResult]:
    """The frozen results, the first first. Raises BadRecord with the line that cannot be used."""
    for number, text in lines:
        place = f"{where}, line {number}"
        line = _checked(_ResultLine, text, place)
        if not _is_an_answer(line.body, study):
            raise BadRecord(f"'body' is no answer about the study '{study}'", where=place, todo=TODO)
        yield PastResult(**line.model_dump())


def _record(line: _ChangeLine, fields: dict[str, Any] | None, place: str) -> Record | None:
    if fields is None or line.record == ARRIVAL:
        return None
    try:
        found = record_from(line.record, fields)
    except ValidationError as error:
        raise _refusal(error, place) from error
    key = found.id if isinstance(found, Run) else found.key
    if key != line.key:
        raise BadRecord(f"the record of '{line.key}' calls itself '{key}'", where=place, todo=TODO)
    return found


def record_from(kind: str, fields: Mapping[str, Any]) -> Record:
    """The record of a kind that these fields of JSON tell of. Raises ValidationError where they tell of none.

    >>> record_from("part", {"key": "k6", "kind": "processor", "name": "K6", "note": ""}).name
    'K6'
    """
    return TypeAdapter(KINDS[kind]).validate_json(json.dumps(fields))


def _checked(model: type[_AnyLine], text: str, place: str) -> _AnyLine:
    try:
        json.loads(text, parse_constant=_no_number)
        return model.model_validate_json(text)
    except ValidationError as error:
        raise _refusal(error, place) from error
    except (ValueError, RecursionError) as error:
        raise BadRecord(f"this is not a line of JSON ({error})", where=place, todo=TODO) from error


def _no_number(name: str) -> NoReturn:
    raise ValueError(f"{name} is no number")


def _refusal(error: ValidationError, place: str) -> BadRecord:
    first = error.errors(include_url=False)[0]
    name = ".".join(map(str, first["loc"])) or "the line"
    return BadRecord(f"{name}: {first['msg']}", where=place, todo=TODO)


def _is_an_answer(body: str, study: str) -> bool:
    try:
        answer = json.loads(body, parse_constant=_no_number)
    except (ValueError, RecursionError):
        return False
    if not isinstance(answer, dict) or answer.get("study") != study:
        return False
    return all(
        isinstance(answer.get(part), list) and all(isinstance(each, dict) for each in answer[part])
        for part in ("findings", "index")
    )
