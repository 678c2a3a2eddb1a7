"""Uploads by programs and rigs: piece by piece, resumed after any break, harmless to repeat; or all at once.

Every upload goes by the SHA-256 of its bytes, so that nothing is kept or filed twice.
`docs/formats-uploads.md` tells the same in full.
"""

from __future__ import annotations

from contextlib import suppress
from datetime import datetime
from typing import Annotated, Any, Literal

from fastapi import APIRouter, Depends, Form, Header, Path, Request, UploadFile
from fastapi.responses import JSONResponse, Response
from pydantic import AwareDatetime, BaseModel, ConfigDict, Field

from evenhand.desk.bench import spool
from evenhand.desk.bench.came_answers import came_answer
from evenhand.desk.bench.uploading import Came, after_a_stop, newest_kept, take_in
from evenhand.errors import BadRecord, EvenhandError
from evenhand.records.devices import Device
from evenhand.web.api.rig import Asking
from evenhand.web.served import Site
from evenhand.web.site import By, Here

router = APIRouter(prefix="/api", tags=["Uploads"])

OFFSET = "Upload-Offset"
PIECE = {"content": {"application/octet-stream": {"schema": {"type": "string", "format": "binary"}}}}
REFUSED: dict[int | str, dict[str, Any]] = {
    409: {"description": "The piece does not begin where the last one ended; `have` says where that is."},
    413: {"description": "More bytes than one piece, or one log, may hold."},
    422: {"description": "What was sent cannot be used; the answer says what to do."},
}

HEX = "^[0-9a-f]{64}$"
Digest = Annotated[str, Path(pattern=HEX, description="The SHA-256 of all the file's bytes, in hex.")]
Text = Annotated[str, Field(min_length=1, max_length=200)]


class State(BaseModel):
    """How far an upload is."""

    have: int = Field(description="How many bytes are here for good.")
    done: bool = Field(description="Whether the workbench keeps all of them; nothing needs to be sent then.")


class Facts(BaseModel):
    """What is known of the run that a file is of; what nobody says is left to the plan or to a person."""

    model_config = ConfigDict(extra="ignore")

    kind: Literal["frames", "sensors", "score"] | None = None
    study: Text | None = None
    test: Text | None = None
    setup: Text | None = None
    plan: Annotated[int, Field(ge=0, lt=2**63)] | None = None
    slot: Annotated[int, Field(ge=0, lt=2**63)] | None = None
    boot: Text | None = None
    order: Annotated[int, Field(ge=0, le=1_000_000_000)] | None = None
    started_at: AwareDatetime | None = None
    duration_s: Annotated[float, Field(gt=0, allow_inf_nan=False)] | None = None
    ambient_c: Annotated[float, Field(ge=-40, le=60)] | None = None
    wall_w: Annotated[float, Field(ge=0, allow_inf_nan=False)] | None = None
    score: Annotated[float, Field(gt=0, allow_inf_nan=False)] | None = None
    label: Text | None = None
    sensors: Annotated[str, Field(pattern=HEX)] | None = Field(
        default=None, description="The SHA-256 of the sensor log that was taken beside it; send that first."
    )
    boot_id: Text | None = Field(
        default=None, description="What the machine itself calls its present start, as the system gives it."
    )
    boots: Annotated[int, Field(ge=0, lt=2**63)] | None = Field(
        default=None, description="How many starts of the machine its rig program has seen."
    )
    stamps: Annotated[dict[Text, Annotated[str, Field(max_length=400)]], Field(max_length=200)] = Field(
        default_factory=dict
    )
    layout: dict[str, Any] | None = Field(
        default=None, description="What the columns of a sensor log are, where the sender wrote it itself."
    )
    astray: Text | None = Field(
        default=None,
        description="Anything, for a file that appeared while its rig made no run that it could be of.",
    )


class Landing(BaseModel):
    """What a file that was sent is called, and what is known of it."""

    name: Annotated[str, Field(min_length=1, max_length=1000)]
    facts: Facts = Field(default_factory=Facts)


class FaultTold(BaseModel):
    """Something that triage found."""

    kind: str
    title: str
    severity: str
    evidence: str
    todo: str


class Told(BaseModel):
    """What became of a file: the run it landed as, or why it waits in the inbox."""

    arrival: int
    study: str | None = None
    run: str | None = None
    label: str | None = None
    state: str | None = None
    again: bool = Field(default=False, description="Whether this run was on record before.")
    also: list[str] = Field(default_factory=list, description="Further runs of the same score table.")
    numbers: dict[str, float] = Field(default_factory=dict)
    faults: list[FaultTold] = Field(default_factory=list)
    waits: str | None = Field(default=None, description="Why it waits; null where it landed.")
    words: str = Field(description="The same in a line.")


async def piece(request: Request) -> bytes:
    """The bytes of one piece. Raises TooLarge where they are more than one may hold."""
    found = bytearray()
    async for part in request.stream():
        found += part
        if len(found) > spool.PIECE_BYTES:
            raise spool.TooLarge(
                f"a piece holds more than {spool.PIECE_BYTES:,} bytes",
                where="the request's body",
                todo="send the file in smaller pieces",
            )
    return bytes(found)


@router.get("/uploads/{digest}", responses={422: REFUSED[422]})
def state(digest: Digest, site: Here, response: Response) -> State:
    """How many bytes of an upload are here: send on from there."""
    return shown(spool.here(site.wb, digest), response)


@router.patch(
    "/uploads/{digest}", responses=REFUSED, openapi_extra={"requestBody": PIECE}, response_model=State
)
def send(
    digest: Digest,
    site: Here,
    response: Response,
    data: Annotated[bytes, Depends(piece)],
    upload_offset: Annotated[int, Header(alias=OFFSET, ge=0, lt=2**63)],
    upload_length: Annotated[int | None, Header(alias="Upload-Length", ge=0, lt=2**63)] = None,
) -> State | JSONResponse:
    """Add a piece. It is on the workbench's disk when this answers."""
    try:
        spool.check_room(upload_length or 0)
        found = spool.add(site.wb, digest, data, offset=upload_offset)
        if upload_length:
            spool.expect(site.wb, digest, upload_length)
        return shown(found, response)
    except spool.OutOfStep as gap:
        return out_of_step(gap)


@router.post("/uploads/{digest}/land", responses=REFUSED, response_model=Told)
def land(digest: Digest, sent: Landing, site: Here, by: By, device: Asking) -> Told | JSONResponse:
    """Say that all bytes were sent: they are kept for good and land as a run, or wait in the inbox."""
    try:
        data = spool.whole(site.wb, digest)
    except spool.OutOfStep as gap:
        return out_of_step(gap)
    came = take_in(site.wb, data, name=sent.name, facts=facts_of(sent.facts, device), by=by, now=site.now())
    spool.forget(site.wb, digest)
    return told_of(site, came)


def sized(content_length: Annotated[int | None, Header(ge=0, include_in_schema=False)] = None) -> None:
    """Refuses a form by its size before any of it is read. Raises TooLarge, and BadRecord without a size."""
    if content_length is None:
        raise BadRecord("the request does not say its length", todo="send a Content-Length header")
    spool.check_room(content_length)


@router.post("/logs", responses={413: REFUSED[413], 422: REFUSED[422]}, dependencies=[Depends(sized)])
def send_whole(
    site: Here,
    by: By,
    device: Asking,
    file: UploadFile,
    facts: Annotated[
        str, Form(max_length=100_000, description="A JSON object of facts, as for `land`.")
    ] = "{}",
) -> Told:
    """Send a whole log in one request."""
    try:
        known = Facts.model_validate_json(facts)
    except ValueError as error:
        raise BadRecord(f"the facts cannot be used: {error}", where="facts", todo="correct them") from error
    now: datetime = site.now()
    came = take_in(
        site.wb, file.file.read(), name=file.filename or "log", facts=facts_of(known, device), by=by, now=now
    )
    return told_of(site, came)


def facts_of(facts: Facts, device: Device | None) -> dict[str, Any]:
    """What the sender says, and which machine the sender is."""
    build = device.build if device is not None else None
    return {**facts.model_dump(exclude_none=True), **({"build": build} if build else {})}


def told_of(site: Site, came: Came) -> Told:
    """What became of a file, as programs read it."""
    return Told.model_validate(came_answer(site.wb, came))


def shown(found: spool.Here, response: Response) -> State:
    """How far an upload is, in the body and in the header."""
    response.headers[OFFSET] = str(found.have)
    return State(have=found.have, done=found.done)


def out_of_step(gap: spool.OutOfStep) -> JSONResponse:
    """The refusal of a piece that does not fit, with the place from which to send on."""
    error = {"kind": "OutOfStep", "found": gap.found, "where": gap.where, "todo": gap.todo}
    body = {"have": gap.have, "done": False, "error": error}
    return JSONResponse(body, status_code=409, headers={OFFSET: str(gap.have)})


def begin(site: Site, until: int) -> None:
    """What is done once when the site opens: old pieces are thrown away, and what was kept by then lands."""
    with suppress(EvenhandError):  # a workbench that may not be written takes no uploads either
        spool.clear_old(site.wb, now=site.now())
        after_a_stop(site.wb, now=site.now(), until=until)


def kept_so_far(site: Site) -> int:
    """The last file that was kept before the site opened; 0 where that cannot be read."""
    with suppress(EvenhandError):
        return newest_kept(site.wb)
    return 0
