"""What the further process that lands files does: open the workbench, and land one arrival after another."""

from __future__ import annotations

import sys
from pathlib import Path

from evenhand.desk.bench.lander import READY, Errand
from evenhand.desk.bench.uploading import Came, place_in
from evenhand.desk.child import say, serve, spared
from evenhand.errors import EvenhandError
from evenhand.store import arrivals
from evenhand.store.workbench import Workbench, open_workbench


def land_one(wb: Workbench, errand: Errand) -> Came | None:
    """What became of one file; None where something is wrong that whoever sent it must be told here."""
    try:
        arrival = arrivals.arrival(wb, errand.arrival)
        return place_in(wb, arrival, facts=errand.facts, by=errand.by, now=errand.now)
    except EvenhandError:
        return None


def main(path: Path) -> None:
    """Land what one is told to, until there is nothing more to come."""
    spared()
    with open_workbench(path, create=False) as wb:
        say(READY)
        serve(lambda errand: land_one(wb, errand))


if __name__ == "__main__":
    main(Path(sys.argv[1]))
