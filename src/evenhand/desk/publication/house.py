"""What cards wear: accent, mark and typeface of whoever publishes, and how numbers are written."""

from __future__ import annotations

from evenhand.publish.house_style import HouseStyle, mark_of
from evenhand.publish.typeface import typeface_of
from evenhand.store import originals
from evenhand.store.imprints import imprint_now
from evenhand.store.workbench import Workbench


def house_now(wb: Workbench) -> HouseStyle:
    """What cards wear today; nothing of one's own where nobody said anything."""
    imprint = imprint_now(wb)
    mark = mark_of(originals.original(wb, imprint.mark)) if imprint.mark else None
    typeface = typeface_of(originals.original(wb, imprint.typeface)) if imprint.typeface else None
    return HouseStyle(accent=imprint.accent, mark=mark, typeface=typeface, form=imprint.form)
