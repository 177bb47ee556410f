"""The one entrance from the shell: picks the command, loads it, and turns trouble into plain words."""

from __future__ import annotations

import importlib
import sys
from collections.abc import Sequence

from .. import __version__
from ..errors import BrokenPromise, FaultyMaterial
from ..legible import legible_line
from .options import parser
from .streams import abandon_output, make_ready

COMMANDS = {
    name: f"loopwright.cli.{name}_command" for name in ("sheet", "limits", "loops", "slips", "figure", "read")
}
DONE, AT_FAULT, USAGE, OUR_FAULT, STOPPED = 0, 1, 2, 3, 130


def main(arguments: Sequence[str] | None = None) -> int:
    """Runs one command; gives the exit status (see `options.OVERVIEW`; 3: a promise of ours broke)."""
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
            print(legible_line(finding.as_text()), file=sys.stderr)
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
