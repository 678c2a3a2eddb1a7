"""Send parcels home: in pieces, from where the last attempt ended, gone from here once they are there."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

from evenhand.rig.asking import Address, Answer, Refused, Unreachable, ask
from evenhand.rig.spool import Parcel, Spool

PIECE_BYTES = 1 << 20


@dataclass(frozen=True, slots=True, kw_only=True)
class Arrived:
    """What the workbench made of a parcel."""

    parcel: Parcel
    told: dict[str, Any]


def send(address: Address, parcel: Parcel) -> Arrived:
    """One parcel, to its end. Raises Unreachable where the way is lost, Refused where it is not wanted.

    Sending it again does no harm: the workbench knows bytes by their hash.
    """
    size = parcel.data.stat().st_size
    have = offset_of(ask(address, "GET", f"/api/uploads/{parcel.digest}"))
    with parcel.data.open("rb") as file:
        while have < size:
            file.seek(have)
            have = put(address, parcel, have, file.read(PIECE_BYTES))
    body = {"name": parcel.name, "facts": parcel.facts}
    answer = ask(address, "POST", f"/api/uploads/{parcel.digest}/land", body=body)
    if answer.status >= 400:
        raise refusal(answer, parcel)
    return Arrived(parcel=parcel, told=answer.body or {})


def put(address: Address, parcel: Parcel, have: int, piece: bytes) -> int:
    """One piece; how many bytes the workbench has then."""
    headers = {"Upload-Offset": str(have)}
    answer = ask(address, "PATCH", f"/api/uploads/{parcel.digest}", body=piece, headers=headers)
    if answer.status == 409:  # it has another number of bytes than we think, and says how many
        return offset_of(answer)
    if answer.status >= 400:
        raise refusal(answer, parcel)
    return offset_of(answer)


def offset_of(answer: Answer) -> int:
    """How many bytes the workbench says that it has."""
    body = answer.body if isinstance(answer.body, dict) else {}
    return int(body.get("have", 0))


def refusal(answer: Answer, parcel: Parcel) -> Refused | Unreachable:
    """Why a parcel was not taken; a workbench in trouble of its own is asked again later."""
    error = answer.body.get("error", {}) if isinstance(answer.body, dict) else {}
    found = error.get("found") or f"the workbench answered {answer.status}"
    kind = Unreachable if answer.status >= 500 or answer.status == 429 else Refused
    return kind(found, where=parcel.name, todo=error.get("todo", ""))


def drain(address: Address, spool: Spool, tell: Callable[[Arrived], None]) -> int:
    """Sends every parcel; how many are left. Raises Unreachable where the way is lost.

    A parcel that the workbench does not want stays on disk, and those behind it go on.
    """
    left = 0
    for parcel in spool.parcels():
        try:
            arrived = send(address, parcel)
        except Refused:
            left += 1
            continue
        spool.home(parcel)
        tell(arrived)
    return left
