"""What may be said behind `try` on the command line."""

from __future__ import annotations

import argparse
from collections.abc import Sequence
from pathlib import Path

from evenhand.rig.loads.known import LOADS
from evenhand.rig.state import default_folder
from evenhand.rig.trials.watching import HIGH_S, LOW_PCT, PROCESSOR

SHARE = 0.5


def understood(arguments: Sequence[str]) -> argparse.Namespace:
    """What was asked for on the command line, behind `try`."""
    parser = argparse.ArgumentParser(
        prog="evenhand-rig try", description="Try a clock and a voltage that are set on this machine."
    )
    for options in (_home, _point, _load, _watched, _besides):
        options(parser)
    return parser.parse_args(list(arguments))


def _home(parser: argparse.ArgumentParser) -> None:
    """Where the record goes."""
    add = parser.add_argument
    add("url", nargs="?", help="the address of the workbench; may be left out the next time")
    add("--token", default="", help="this rig's token, from the workbench's page Devices")
    add("--certificate", default="", help="SHA-256 of the workbench's certificate")


def _point(parser: argparse.ArgumentParser) -> None:
    """What is set, of which part, and for how long it is tried."""
    add = parser.add_argument
    add("--setup", default="", help="the key of the setup whose part is tried")
    add("--part", default=PROCESSOR, help="what is tried: processor, memory or graphics")
    add("--clock", type=float, help="the clock that is set, in MHz; left out, the workbench names the point")
    add(
        "--voltage",
        type=float,
        help="the voltage that is set, in mV, as the firmware writes it; 0 where it is left alone",
    )
    add("--hours", type=float, help="for how long")


def _load(parser: argparse.ArgumentParser) -> None:
    """What runs: a load that the rig brings, a command, or one by hand."""
    add = parser.add_argument
    add("--load", default="", help=f"{', '.join(LOADS)}, or what a command or a load by hand is called")
    add("--command", default="", help="run this as the load, again and again")
    add("--command-folder", default="", help="the folder that it is run in")
    add(
        "--count",
        default="",
        help="a pattern for what the command prints: its first group is how many errors it counted, "
        "without a group every match is one; the trial goes on then",
    )
    add("--count-corrected", default="", help="the same of errors that were corrected")
    add(
        "--by-hand", action="store_true", help="you run the load; this keeps the beats, and asks how it ended"
    )


def _watched(parser: argparse.ArgumentParser) -> None:
    """The room, what is read meanwhile, and what ends the trial."""
    add = parser.add_argument
    add(
        "--setting",
        action="append",
        default=[],
        metavar="NAME=VALUE",
        help="what else is set; again for more",
    )
    add("--room", type=float, help="the air that the machine draws in, in °C")
    add("--most", type=float, help="end it at this temperature, in °C")
    add(
        "--most-watts",
        type=float,
        help=f"end it where the part draws more than so many watts for {HIGH_S:g} s, by its own sensor",
    )
    add("--sensor", default="", help="watch only temperatures whose name holds this word")
    add("--power", default="", help="take watts of sensors whose name holds this word for those of the part")
    add(
        "--keep-heat",
        type=float,
        metavar="MINUTES",
        help="keep the temperatures as a log of the part, resting so long before the load and after it",
    )
    add(
        "--low",
        type=float,
        default=LOW_PCT,
        help="per cent below the clock that count as throttled; 0 for never",
    )


def _besides(parser: argparse.ArgumentParser) -> None:
    """What else there is to say, to the rig or for the record."""
    add = parser.add_argument
    add("--memory-share", type=float, default=SHARE, help="share of free memory that the load may fill")
    add("--note", default="", help="a note that goes with the record")
    add("--attended", action="store_true", help="say beforehand that you stay with the machine")
    add("--stock", action="store_true", help="everything is at stock: work out what the load has to give")
    add("--state", type=Path, default=default_folder(), help="where to remember things")
