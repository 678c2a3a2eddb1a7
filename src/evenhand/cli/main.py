"""The front door: ``evenhand [--workbench FILE] VERB …``.

Exit codes: 0 done; 1 done, and it found something that needs you (a damaged workbench, a refused
log); 2 not done, with the reason in words; 130 stopped by you; 143 stopped by the system.
"""

from __future__ import annotations

import errno
import gc
import io
import os
import sys
from contextlib import suppress
from pathlib import Path

import click

from evenhand import __version__
from evenhand.cli import (
    asking,
    assuming,
    bringing,
    bundles,
    comparing,
    cutting,
    deciding,
    demonstrating,
    explaining,
    for_whom,
    growing,
    heat,
    imprint,
    judging,
    keeping,
    learning,
    listing,
    offers,
    opening,
    owning,
    parts,
    picturing,
    planning,
    publishing,
    putting_away,
    recalling,
    revealing,
    studies,
    told,
    trials,
    tuning,
    tuning_gain,
    tuning_watts,
    worth,
    writing,
)
from evenhand.cli.showing import say_json
from evenhand.cli.stopping import ENDED, STOPPED, Ended, heed
from evenhand.errors import EvenhandError

DONE, NEEDS_YOU, NOT_DONE = 0, 1, 2

WIDEST_HELP = 80
NO_ROOM = (errno.ENOSPC, errno.EDQUOT, errno.EFBIG, errno.EIO)  # what a full or failing disk answers

# The tables that are multiplied here are small: more threads would wait for each other most of the time. What
# the user has set stands.
ARITHMETIC_THREADS = ("OPENBLAS_NUM_THREADS", "OMP_NUM_THREADS", "MKL_NUM_THREADS")

EPILOG = """\b
Start here:
  evenhand demo                          the worked example, from raw logs to pictures
  evenhand import examples/real-frames   bring a study's folder in
  evenhand compare real-frames           what its runs can say
\b
Exit codes: 0 done, 1 done but something needs you, 2 not done, 130 stopped.
"""


@click.group(context_settings={"help_option_names": ["-h", "--help"]}, epilog=EPILOG)
@click.version_option(__version__, prog_name="evenhand")
@click.option(
    "--workbench",
    type=click.Path(dir_okay=False, path_type=Path),
    envvar="EVENHAND_WORKBENCH",
    help="The workbench file (default: one in your data folder; or set EVENHAND_WORKBENCH).",
)
@click.pass_context
def evenhand(context: click.Context, workbench: Path | None) -> None:
    """From logs and receipts to a sentence a stranger can spend money on."""
    context.obj = workbench


ROOMS = (
    demonstrating,
    opening,
    planning,
    revealing,
    bringing,
    studies,
    listing,
    picturing,
    deciding,
    cutting,
    comparing,
    explaining,
    judging,
    for_whom,
    worth,
    offers,
    parts,
    told,
    tuning,
    tuning_watts,
    heat,
    tuning_gain,
    trials,
    owning,
    assuming,
    growing,
    writing,
    publishing,
    asking,
    bundles,
    imprint,
    recalling,
    putting_away,
    learning,
    keeping,
)
for _room in ROOMS:
    for _command in _room.COMMANDS:
        evenhand.add_command(_command)


SELDOM = (50_000, 20, 100)
"""How seldom garbage is looked for. A command makes much that stays and little that goes round in circles:
looked for as often as is usual, garbage took a fifth of the time of publishing the example."""


def main(arguments: list[str] | None = None) -> None:
    """Run one command and leave with its exit code."""
    heed()
    gc.set_threshold(*SELDOM)
    for threads in ARITHMETIC_THREADS:
        os.environ.setdefault(threads, "1")
    if sys.stdout is None:  # closed by the caller: nobody wants the answer, only what is done
        let_go_of_output(DONE)
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, io.TextIOWrapper):
            # Not every terminal or pipe can write a minus sign or a name: better a stand-in than no answer.
            stream.reconfigure(errors="replace")
    sys.exit(run(sys.argv[1:] if arguments is None else arguments))


def run(arguments: list[str]) -> int:
    """Run one command; every error Evenhand can explain is told here, once."""
    try:
        answer = evenhand.main(
            args=arguments, prog_name="evenhand", standalone_mode=False, terminal_width=help_width()
        )
    except EvenhandError as error:
        tell(error, as_json="--json" in arguments)
        return NOT_DONE
    except click.ClickException as error:
        error = hinted(error)
        if "--json" in arguments:
            tell_json(type(error).__name__, error.format_message(), where="command line", todo=help_of(error))
        error.show()
        return NOT_DONE
    except (KeyboardInterrupt, click.Abort) as error:
        click.echo("stopped; what was acknowledged is kept", err=True)
        return ENDED if isinstance(error.__cause__ or error, Ended) else STOPPED
    except SystemExit as error:
        # So click and rich leave where the reader of our output has left; no command of ours does. Click
        # leaves so as well once it has told a shell how a word may be completed.
        if error.code != 1 or "_EVENHAND_COMPLETE" in os.environ:
            raise
        return let_go_of_output(DONE)
    except BrokenPipeError:
        return let_go_of_output(DONE)
    except OSError as error:
        # Rooms tell of files of their own in their own words; what comes up to here is standard output.
        if error.errno not in NO_ROOM or error.filename is not None:
            raise
        click.echo(
            f"evenhand: standard output\n  the answer could not be written ({error.strerror})", err=True
        )
        click.echo("  What to do: make room, or send it elsewhere, and give the command again", err=True)
        return let_go_of_output(NOT_DONE)
    return answer if isinstance(answer, int) else DONE


def help_width() -> int:
    """How wide help is written: as the library has it, which loads three packers to ask the terminal."""
    columns = os.environ.get("COLUMNS", "")
    width = int(columns) if columns.isdecimal() else 0
    with suppress(OSError, ValueError, AttributeError):  # no terminal, or a stream that is closed
        width = width or os.get_terminal_size(sys.__stdout__.fileno()).columns  # type: ignore[union-attr]
    return max(min(width or WIDEST_HELP, WIDEST_HELP) - 2, 50)


def let_go_of_output(code: int) -> int:
    """Points standard output elsewhere, so that the interpreter's last flush is quiet; hands the code on."""
    sys.stdout = open(os.devnull, "w", encoding="utf-8")  # noqa: PTH123, SIM115
    return code


def hinted(error: click.ClickException) -> click.ClickException:
    """The same mistake; of an option of the front door it says that it stands before the verb."""
    if not isinstance(error, click.NoSuchOption) or error.option_name != "--workbench":
        return error
    hint = (
        "No such option here: --workbench stands before the verb, as in `evenhand --workbench FILE studies`."
    )
    return click.NoSuchOption(error.option_name, message=hint, ctx=error.ctx)


def help_of(error: click.ClickException) -> str:
    """What to do about a command that cannot be understood."""
    context = getattr(error, "ctx", None)
    return f"see `{context.command_path} --help`" if context else "see `evenhand --help`"


def tell_json(kind: str, found: str, *, where: str, todo: str) -> None:
    """An error as the one JSON document on standard output."""
    say_json({"error": {"kind": kind, "found": found, "where": where, "todo": todo}})


def tell(error: EvenhandError, *, as_json: bool) -> None:
    """Say an error in words, and as JSON on stdout besides where a script asked for JSON."""
    if as_json:
        tell_json(type(error).__name__, error.found, where=error.where, todo=error.todo)
    place = f"{error.where}\n  " if error.where else ""
    advice = f"\n  What to do: {error.todo}" if error.todo else ""
    click.echo(f"evenhand: {place}{error.found}{advice}", err=True)
