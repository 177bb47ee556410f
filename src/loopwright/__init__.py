"""Loopwright: multi-loop circuits worked, checked and published for the lecture hall.

The public names are ten verbs: `read, laws, solve, derive, examine, read_working, finish, plot,
sheet, items`. Each is found in its module when it is first used, so that `import loopwright` costs
nothing. Six verbs share their name with the folder they live in; here the verb always wins, whatever
was imported before or after, and the folder is reached by its full name:
`from loopwright.laws.loops import default_loops`.
"""

import sys
from importlib import import_module
from types import ModuleType

TYPE_CHECKING = False  # as in `typing`, which costs more to import than all of this
if TYPE_CHECKING:
    from .checks.ledger.examine import examine as examine
    from .finish.finish import finish as finish
    from .items.quiz import items as items
    from .laws.laws import laws as laws
    from .methods.methods import derive as derive
    from .plots.plot import plot as plot
    from .problem.problem_file import read as read
    from .reading.judge import read_working as read_working
    from .sheet.build import sheet as sheet
    from .solve.exact import solve as solve

__version__ = "0.1.0"
__all__ = ["read", "laws", "solve", "derive", "examine", "read_working", "finish", "plot", "sheet", "items"]

HOME_OF = {
    "read": "loopwright.problem.problem_file",
    "laws": "loopwright.laws.laws",
    "solve": "loopwright.solve.exact",
    "derive": "loopwright.methods.methods",
    "examine": "loopwright.checks.ledger.examine",
    "read_working": "loopwright.reading.judge",
    "finish": "loopwright.finish.finish",
    "plot": "loopwright.plots.plot",
    "sheet": "loopwright.sheet.build",
    "items": "loopwright.items.quiz",
}


class _FrontDoor(ModuleType):
    """The package itself: looks a verb up on first use, and never lets a folder take its place.

    Python sets `loopwright.laws` to the folder whenever something in that folder is imported;
    that one assignment is declined for the names of verbs.
    """

    def __getattr__(self, name: str) -> object:
        if name not in HOME_OF:
            raise AttributeError(f"module 'loopwright' has no attribute {name!r}")
        verb: object = getattr(import_module(HOME_OF[name]), name)
        setattr(self, name, verb)
        return verb

    def __setattr__(self, name: str, value: object) -> None:
        if not (name in HOME_OF and isinstance(value, ModuleType)):
            super().__setattr__(name, value)

    def __dir__(self) -> list[str]:
        return sorted({*super().__dir__(), *HOME_OF})


sys.modules[__name__].__class__ = _FrontDoor
