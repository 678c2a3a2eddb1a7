"""The front door: ``evenhand [--workbench FILE] VERB …``.

Exit codes: 0 done; 1 done, and it found something that needs you (a damaged workbench, a refused
log); 2 not done, with the reason in words; 130 stopped by you.
"""

from __future__ import annotations

import json
import os
import sys
from pathlib import Path

import click

from evenhand import __version__
from evenhand.cli import bringing, comparing, deciding, demonstrating, keeping, listing
from evenhand.errors import EvenhandError

DONE, NEEDS_YOU, NOT_DONE, STOPPED = 0, 1, 2, 130

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


for _room in (demonstrating, bringing, listing, deciding, comparing, keeping):
    for _command in _room.COMMANDS:
        evenhand.add_command(_command)


def main(arguments: list[str] | None = None) -> None:
    """Run one command and leave with its exit code."""
    sys.exit(run(sys.argv[1:] if arguments is None else arguments))


def run(arguments: list[str]) -> int:
    """Run one command; every error Evenhand can explain is told here, once."""
    try:
        answer = evenhand.main(args=arguments, prog_name="evenhand", standalone_mode=False)
    except EvenhandError as error:
        tell(error, as_json="--json" in arguments)
        return NOT_DONE
    except click.ClickException as error:
        error.show()
        return NOT_DONE
    except (KeyboardInterrupt, click.Abort):
        click.echo("stopped; what was acknowledged is kept", err=True)
        return STOPPED
    except BrokenPipeError:
        # The reader of our output left; point stdout elsewhere so that the interpreter's flush is quiet.
        sys.stdout = open(os.devnull, "w", encoding="utf-8")  # noqa: PTH123, SIM115
        return DONE
    return answer if isinstance(answer, int) else DONE


def tell(error: EvenhandError, *, as_json: bool) -> None:
    """Say an error in words, or as JSON on stdout where a script asked for JSON."""
    if as_json:
        told = {"kind": type(error).__name__, "found": error.found, "where": error.where, "todo": error.todo}
        click.echo(json.dumps({"error": told}, ensure_ascii=False))
    place = f"{error.where}\n  " if error.where else ""
    advice = f"\n  What to do: {error.todo}" if error.todo else ""
    click.echo(f"evenhand: {place}{error.found}{advice}", err=True)
