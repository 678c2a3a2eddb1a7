"""The rig program in a terminal: join a workbench, take part in its bench day, say what that cost."""

from __future__ import annotations

import argparse
import signal
import sys
import threading
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import replace
from pathlib import Path
from typing import NoReturn

from evenhand.errors import EvenhandError
from evenhand.rig import session
from evenhand.rig.asking import Address
from evenhand.rig.day import Day, make_runs, patiently
from evenhand.rig.left_over import send_left_over, watched
from evenhand.rig.lock import alone_on
from evenhand.rig.operator import Operator, say
from evenhand.rig.readings.inventory import Inventory
from evenhand.rig.readings.machine import Machine, look
from evenhand.rig.sending import Sender
from evenhand.rig.state import State, default_folder
from evenhand.rig.trials import options, recovery
from evenhand.rig.trials.trying import try_one

DONE, TROUBLE, RESTART, STOPPED = 0, 2, 3, 130  # exit codes; a script may restart the machine at 3


def main(arguments: Sequence[str] | None = None) -> int:
    """Takes part in a bench day until it is stopped, or tries a point; the exit code."""
    words = list(sys.argv[1:] if arguments is None else arguments)
    trying = words[:1] == ["try"]
    asked = options.understood(joined(words[1:])) if trying else understood(words)
    if hasattr(sys.stdout, "reconfigure"):  # no character may stop us that a terminal cannot show
        sys.stdout.reconfigure(errors="replace")
    try:
        with ended_like_ctrl_c(), alone_on(asked.state):
            state = State(folder=asked.state)
            if trying:
                state.sweep()
                return try_one(asked, state, look(), Operator())
            return take_part(address_of(asked, state), state, asked)
    except KeyboardInterrupt:
        say("Stopped. What is not home yet lies on disk and goes on at the next start.")
        return STOPPED
    except EvenhandError as error:
        say(f"{error}.")
        return TROUBLE


def understood(arguments: Sequence[str]) -> argparse.Namespace:
    """What was asked for on the command line."""
    parser = argparse.ArgumentParser(
        prog="evenhand-rig", description="Take part in a bench day with this machine."
    )
    parser.add_argument("url", nargs="?", help="the address of the workbench; may be left out the next time")
    parser.add_argument("--token", default="", help="this rig's token, from the workbench's page Devices")
    parser.add_argument("--certificate", default="", help="SHA-256 of the workbench's certificate")
    parser.add_argument("--folder", type=Path, help="the folder where logs appear")
    parser.add_argument("--state", type=Path, default=default_folder(), help="where to remember things")
    parser.add_argument("--yes", action="store_true", help="allow every command of this workbench unasked")
    parser.add_argument("--runs", type=int, help="end after so many runs")
    parser.add_argument(
        "--rehearsed-start", metavar="NAME", default="",
        help="to rehearse a day without restarting: take this name for a start of the machine; runs say so",
    )  # fmt: skip
    parser.add_argument("--no-parts", action="store_true", help="do not tell what this machine is made of")
    return parser.parse_args(joined(arguments))


def joined(arguments: Sequence[str]) -> list[str]:
    """The arguments with a token joined to its name: it may begin with a dash, as names do.

    >>> joined(["http://bench.local/", "--token", "-Xy", "--yes"])
    ['http://bench.local/', '--token=-Xy', '--yes']
    """
    found: list[str] = []
    for word in arguments:
        if found and found[-1] == "--token":
            found[-1] = f"--token={word}"
        else:
            found.append(word)
    return found


@contextmanager
def ended_like_ctrl_c() -> Iterator[None]:
    """Whoever ends us in another way than by Ctrl+C leaves no command running either."""
    names = [name for name in ("SIGTERM", "SIGHUP") if hasattr(signal, name)]
    if threading.current_thread() is not threading.main_thread():
        names = []
    before = {name: signal.signal(getattr(signal, name), stop) for name in names}
    try:
        yield
    finally:
        for name, handler in before.items():
            signal.signal(getattr(signal, name), handler)


def stop(*_: object) -> NoReturn:
    """Ends as by Ctrl+C."""
    raise KeyboardInterrupt


def address_of(asked: argparse.Namespace, state: State) -> Address:
    """Where the workbench is. Raises EvenhandError where nobody ever said."""
    if asked.url:
        return Address(url=asked.url, token=asked.token, fingerprint=asked.certificate)
    known = state.joined()
    if known is None:
        raise EvenhandError("which workbench?", todo="copy the whole command from its page Devices")
    return known


def machine_of(asked: argparse.Namespace) -> Machine:
    """This machine; where a start is rehearsed its stamps say so."""
    machine = look()
    if asked.no_parts:
        machine = replace(machine, inventory=Inventory())
    if not asked.rehearsed_start:
        return machine
    stamps = {**machine.stamps, "restarts": "rehearsed: the machine was not restarted"}
    return replace(machine, stamps=stamps, boot=f"rehearsed {asked.rehearsed_start}")


def take_part(address: Address, state: State, asked: argparse.Namespace) -> int:
    """Joins, sends what is left from before, and makes run after run; the exit code."""
    state.sweep()
    machine = machine_of(asked)
    operator = Operator()
    recovery.settle(state.trials, state.spool, boot=machine.boot, ask=recovery.asking(operator))
    rig = patiently(lambda: session.hello(address, state, machine))
    say(f"Joined as {rig.name}.")
    for each in rig.machine.found.unreadable:
        say(f"  Could not be read: {each.what} ({each.why}).")
    if told := rig.machine.inventory.words:
        say(f"  It told what this machine is made of: {told}. No serial number, name or address is in it.")
    sender = Sender(rig)
    try:
        with sender:
            sender.home()
            folder = watched(rig, asked.folder)
            send_left_over(rig, folder, operator)
            sender.home()
            day = Day(rig=rig, sender=sender, operator=operator, folder=folder, trusting=asked.yes)
            return RESTART if make_runs(day, asked.runs) else DONE
    finally:
        say(f"Taking part cost this machine {sender.meter.cost().words}.")


if __name__ == "__main__":
    sys.exit(main())
