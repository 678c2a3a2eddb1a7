"""A trial's record on its way home: one request, and the workbench knows it by its key."""

from __future__ import annotations

import json
from typing import Any

from evenhand.rig.asking import Address, Refused, ask, refusal
from evenhand.rig.spool import Parcel

PLACE = "/api/rig/trials"
KIND = "trial"


def is_trial(parcel: Parcel) -> bool:
    """Whether a parcel is the record of a trial."""
    return parcel.facts.get("kind") == KIND


def send_trial(address: Address, parcel: Parcel) -> dict[str, Any]:
    """Sends one record; what the workbench says of it. Raises Unreachable, ShutOut or Refused."""
    try:
        record = json.loads(parcel.data.read_bytes())
    except ValueError as error:
        raise Refused("it cannot be read as a record any more", where=parcel.name) from error
    answer = ask(address, "POST", PLACE, body=record)
    if answer.status >= 400:
        raise refusal(answer, parcel.name)
    return answer.body if isinstance(answer.body, dict) else {}
