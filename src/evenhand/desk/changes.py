"""Whether anybody has changed the workbench, for whoever shows it live."""

from __future__ import annotations

from evenhand.store.changes import ChangeMeter
from evenhand.store.workbench import Workbench


def change_meter(wb: Workbench) -> ChangeMeter:
    """A meter whose reading is another one after every change, whoever made it. Close it in the end."""
    return ChangeMeter(wb)
