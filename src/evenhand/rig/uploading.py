"""Send parcels home: in pieces, from where the last attempt ended, gone from here once they are there."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

from evenhand.rig.asking import Address, Answer, Refused, ask, refusal
from evenhand.rig.spool import Parcel, Spool
from evenhand.rig.trials.homing import is_trial, send_trial
from evenhand.rig.trials.warmth import is_heat, land_heat

PIECE_BYTES = 1 << 20


@dataclass(frozen=True, slots=True, kw_only=True)
class Arrived:
    """What the workbench made of a parcel."""

    parcel: Parcel
    told: dict[str, Any]


def send(address: Address, parcel: Parcel) -> Arrived:
    """One parcel, to its end. Raises Unreachable where the way is lost, Refused where it is not wanted.

    Sending it again does no harm: the workbench knows bytes by their hash, and a trial by its key.
    """
    if is_trial(parcel):
        return Arrived(parcel=parcel, told=send_trial(address, parcel))
    size = parcel.data.stat().st_size
    have = offset_of(ask(address, "GET", f"/api/uploads/{parcel.digest}"))
    with parcel.data.open("rb") as file:
        while have < size:
            file.seek(have)
            have = put(address, parcel, have, file.read(PIECE_BYTES))
    if is_heat(parcel):
        return Arrived(parcel=parcel, told=land_heat(address, parcel))
    body = {"name": parcel.name, "facts": parcel.facts}
    answer = ask(address, "POST", f"/api/uploads/{parcel.digest}/land", body=body)
    if answer.status >= 400:
        raise refusal(answer, parcel.name)
    return Arrived(parcel=parcel, told=answer.body or {})


def put(address: Address, parcel: Parcel, have: int, piece: bytes) -> int:
    """One piece; how many bytes the workbench has then."""
    headers = {"Upload-Offset": str(have)}
    answer = ask(address, "PATCH", f"/api/uploads/{parcel.digest}", body=piece, headers=headers)
    if answer.status == 409:  # it has another number of bytes than we think, and says how many
        return offset_of(answer)
    if answer.status >= 400:
        raise refusal(answer, parcel.name)
    return offset_of(answer)


def offset_of(answer: Answer) -> int:
    """How many bytes the workbench says that it has."""
    body = answer.body if isinstance(answer.body, dict) else {}
    return int(body.get("have", 0))


def drain(
    address: Address,
    spool: Spool,
    tell: Callable[[Arrived], None],
    refuse: Callable[[Refused, str], None] = lambda _why, _place: None,
) -> int:
    """Sends every parcel; how many were not wanted. Raises Unreachable where the way is lost.

    One that the workbench does not want is put aside and kept, so that it is not offered for ever.
    """
    unwanted = 0
    for parcel in spool.parcels():
        try:
            arrived = send(address, parcel)
        except Refused as why:
            unwanted += 1
            refuse(why, str(spool.put_aside(parcel)))
            continue
        spool.home(parcel)
        tell(arrived)
    return unwanted
