"""The rig program in a terminal: join, show the next run, make it or wait for it, send everything home."""

from __future__ import annotations

import argparse
import sys
import threading
import time
from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Any

from evenhand.errors import EvenhandError
from evenhand.rig import session
from evenhand.rig.asking import Address, ShutOut, Unreachable
from evenhand.rig.readings.machine import look, own_cost
from evenhand.rig.session import Rig
from evenhand.rig.state import State, default_folder
from evenhand.rig.uploading import Arrived, drain
from evenhand.rig.watching import Folder

AGAIN_S = 3.0  # between two questions where nothing is to be done
LONGEST_WAIT_S = 60.0


def main(arguments: Sequence[str] | None = None) -> int:
    """Takes part in a bench day until it is stopped; the exit code."""
    asked = understood(arguments)
    state = State(folder=asked.state)
    address = Address(url=asked.url, token=asked.token, fingerprint=asked.certificate) if asked.url else None
    address = address or state.joined()
    if address is None:
        say("Which workbench? Copy the whole command from its page of rigs.")
        return 2
    try:
        take_part(address, state, asked)
    except KeyboardInterrupt:
        say("Stopped. What is not home yet lies on disk and goes on at the next start.")
        return 130
    except EvenhandError as error:
        say(str(error))
        return 2
    return 0


def understood(arguments: Sequence[str] | None) -> argparse.Namespace:
    """What was asked for on the command line."""
    parser = argparse.ArgumentParser(
        prog="evenhand-rig", description="Take part in a bench day with this machine."
    )
    parser.add_argument("url", nargs="?", help="the address of the workbench; may be left out the next time")
    parser.add_argument("--token", default="", help="this rig's token, from the workbench's page of rigs")
    parser.add_argument("--certificate", default="", help="SHA-256 of the workbench's certificate")
    parser.add_argument("--folder", type=Path, help="the folder where logs appear")
    parser.add_argument("--state", type=Path, default=default_folder(), help="where to remember things")
    parser.add_argument("--yes", action="store_true", help="allow every command of this workbench unasked")
    parser.add_argument("--runs", type=int, help="end after so many runs")
    return parser.parse_args(arguments)


def take_part(address: Address, state: State, asked: argparse.Namespace) -> None:
    """Joins, sends what is left from before, and makes run after run."""
    rig = patiently(lambda: session.hello(address, state, look()))
    say(f"Joined as {rig.name}.")
    for each in rig.machine.found.unreadable:
        say(f"  Could not be read: {each.what} ({each.why}).")
    ending = threading.Event()
    sender = threading.Thread(target=send_all, args=(rig, ending), daemon=True)
    sender.start()
    try:
        make_runs(rig, asked)
    finally:
        ending.set()
        sender.join(LONGEST_WAIT_S)
        tell_cost()


def make_runs(rig: Rig, asked: argparse.Namespace) -> None:
    """One run after the other, as many as were asked for or until nothing more is planned."""
    folder = None if asked.folder is None else Folder(asked.folder, known=rig.state.known_files(asked.folder))
    done = 0
    shown: object = None
    while asked.runs is None or done < asked.runs:
        wanted = patiently(lambda: session.next_run(rig))
        if wanted is None:
            shown = say_once("Nothing is planned for this rig now; asking again.", shown)
            gather(rig, folder, {})
            time.sleep(AGAIN_S)
            continue
        if session.needs_restart(rig, wanted):
            say(f"The plan wants a fresh start before this: {wanted['words']}.")
            say("Restart this machine, and start me again; I know the way back.")
            return
        say(f"Next: {wanted['words']}.")
        done += make_one(rig, wanted, folder, asked)


def make_one(rig: Rig, wanted: Mapping[str, Any], folder: Folder | None, asked: argparse.Namespace) -> int:
    """One run, by its command or by hand; 1 where something came of it."""
    if wanted.get("script"):
        if not allowed(rig, wanted["script"], asked):
            raise EvenhandError("the command was not allowed", where=str(wanted["script"]["command"]))
        outcome = session.make_scripted(rig, wanted, stop=threading.Event())
        if outcome.trouble:
            say(f"  It does not count: {outcome.trouble}. The last lines:")
            say("  " + "\n  ".join(outcome.output.strip().splitlines()[-5:]))
            input("  Press Enter to try again, Ctrl+C to stop. ")
            return 0
        say(f"  Score {outcome.score:g}, {outcome.duration_s:.1f} s; on its way.")
        wait_until_home(rig)
        return 1
    return by_hand(rig, wanted, folder)


def allowed(rig: Rig, script: Mapping[str, Any], asked: argparse.Namespace) -> bool:
    """Whether a command may be run here; asked once for each."""
    if asked.yes or rig.state.trusted(script):
        return True
    say(f"  The workbench wants this command run on this machine:\n    {script['command']}")
    if input("  Allow it from now on? (yes/no) ").strip().lower() not in ("y", "yes"):
        return False
    rig.state.trust(script)
    return True


def by_hand(rig: Rig, wanted: Mapping[str, Any], folder: Folder | None) -> int:
    """A run that a person drives: its sensors recorded, the log that appeared sent."""
    input("  Press Enter when you begin. ")
    made = session.recorded(rig, lambda: input("  Running. Press Enter when it has ended. "))
    facts = session.facts_of(rig, wanted, made)
    if folder is None:
        say("  No folder is watched here: bring its log to the workbench, or start me with --folder.")
        return 1
    for _ in range(10):
        if gather(rig, folder, facts):
            wait_until_home(rig)
            return 1
        time.sleep(1.0)
    say("  No log has appeared yet; it will be sent when it does.")
    return 1


def gather(rig: Rig, folder: Folder | None, facts: Mapping[str, Any]) -> int:
    """Puts finished files of the watched folder on their way; how many."""
    if folder is None:
        return 0
    found = list(folder.finished())
    for path in found:
        session.send_log(rig, path, facts)
        say(f"  {path.name} has appeared; on its way.")
    if found:
        rig.state.note_files(folder.place, folder.known)
    return len(found)


def send_all(rig: Rig, ending: threading.Event) -> None:
    """Sends what lies in the spool, and goes on trying where the way is lost."""
    wait_s = AGAIN_S
    while True:
        try:
            drain(rig.address, rig.state.spool, tell_arrival)
            wait_s = 0.5
        except Unreachable:
            wait_s = min(2 * wait_s, LONGEST_WAIT_S)
        except ShutOut as error:
            say(str(error))
            wait_s = LONGEST_WAIT_S
        if ending.wait(wait_s):
            return


def wait_until_home(rig: Rig) -> None:
    """Waits a little for what was just made, so that the workbench knows it before it plans the next run."""
    for _ in range(100):
        if not any(True for _ in rig.state.spool.parcels()):
            return
        time.sleep(0.1)


def tell_arrival(arrived: Arrived) -> None:
    """What the workbench made of a parcel, in a line."""
    words = arrived.told.get("words")
    if words:
        say(f"  {words}")


def patiently(doing: Any) -> Any:
    """Does something that needs the workbench, and waits for it as long as it takes."""
    wait_s = AGAIN_S
    while True:
        try:
            return doing()
        except Unreachable as error:
            say(f"{error}")
            time.sleep(wait_s)
            wait_s = min(2 * wait_s, LONGEST_WAIT_S)


def tell_cost() -> None:
    """What taking part cost this machine."""
    spent_s, memory_mib = own_cost()
    memory = "" if memory_mib is None else f", {memory_mib:.0f} MiB of memory"
    say(f"Taking part cost this machine {spent_s:.1f} s of one core{memory}.")


def say_once(words: str, shown: object) -> str:
    """Says something unless it was the last thing said."""
    if words != shown:
        say(words)
    return words


def say(words: str) -> None:
    """A line to whoever stands at the machine."""
    print(words, flush=True)


if __name__ == "__main__":
    sys.exit(main())
