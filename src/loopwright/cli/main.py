"""The one entrance from the shell: picks the command, loads it, and turns trouble into plain words."""

from __future__ import annotations

import gc
import importlib
import sys
from collections.abc import Sequence
from typing import TYPE_CHECKING

from .. import __version__
from ..errors import BrokenPromise, FaultyMaterial, MissingExtra
from ..later import later
from ..legible import legible_line
from .options import parser
from .streams import abandon_output, make_ready

if TYPE_CHECKING:
    from ..expressions.terms import in_terms
else:
    in_terms = later("loopwright.expressions.terms", "in_terms")

_NAMES = (
    "sheet limits loops methods slips figure plot twin board numbers versions items papers read bank desk"
)
COMMANDS = {name: f"loopwright.cli.{name}_command" for name in _NAMES.split()}
LITTER = 100_000  # objects made between two looks for circles among them: hardly anything here makes one
DONE, AT_FAULT, USAGE, OUR_FAULT, STOPPED = 0, 1, 2, 3, 130


def main(arguments: Sequence[str] | None = None) -> int:
    """Runs one command; gives the exit status (see `options.OVERVIEW`; 3: a promise of ours broke)."""
    gc.set_threshold(LITTER)
    make_ready()
    options = parser()
    given = options.parse_args(arguments)
    if given.version:
        print(__version__)
        return DONE
    if not given.command:
        options.print_help()
        return USAGE
    try:
        status: int = importlib.import_module(COMMANDS[given.command]).run(given)
        sys.stdout.flush()
        return status
    except FaultyMaterial as trouble:
        for finding in trouble.findings:
            print(legible_line(in_terms(finding.as_text(), given.terms)), file=sys.stderr)
        return AT_FAULT
    except MissingExtra as trouble:
        print(trouble, file=sys.stderr)
        return AT_FAULT
    except BrokenPromise as trouble:
        print(f"Loopwright's own check failed, so nothing was published: {trouble}", file=sys.stderr)
        return OUR_FAULT
    except BrokenPipeError:
        abandon_output()
        return DONE
    except OSError as trouble:
        abandon_output()
        where = f" ({legible_line(str(trouble.filename))})" if trouble.filename else ""
        print(f"The system would not do it: {trouble.strerror}{where}.", file=sys.stderr)
        return AT_FAULT
    except KeyboardInterrupt:
        print("Stopped; nothing was left half written.", file=sys.stderr)
        return STOPPED


if __name__ == "__main__":
    raise SystemExit(main())
