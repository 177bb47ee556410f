"""What can be typed after `loopwright bank`."""

from __future__ import annotations

import argparse

BANK_VERBS = ("about", "add", "find", "alike", "show", "remove")  # the names of `bank_command.VERBS`

_WHAT = """\
Keep problems in a folder, and find them again.

verbs:
  about                what the bank holds (when no verb is given)
  add FILE...          put problem files in; a folder stands for all in it
  find [LOOKED FOR]    the problems for which all parts hold that stand between commas; all, for none
  alike [FILE...]      which problems have the same circuit but for names and drawing
  show NAME            the text of a problem
  remove NAME...       take problems out for good

examples:
  loopwright bank bank/ add examples/
  loopwright bank bank/ find "two sources, bridge, one battery charged, whole numbers"
  loopwright bank bank/ find winch, at most 3 loops, added since 2026-03
  loopwright bank bank/ alike bus.toml
  loopwright bank bank/ show bus -o bus.toml
"""


def add_bank(commands: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """The command and its options."""
    bank: argparse.ArgumentParser = commands.add_parser(
        "bank",
        prog="loopwright bank",
        usage="loopwright bank FOLDER [VERB] [WHAT ...] [options]",
        description=_WHAT,
        formatter_class=argparse.RawDescriptionHelpFormatter,
    )
    bank.add_argument("file", metavar="FOLDER", help="the folder of the bank; add begins one")
    bank.add_argument(
        "verb", metavar="VERB", nargs="?", choices=BANK_VERBS, default="about", help="what to do (about)"
    )
    bank.add_argument("what", metavar="WHAT", nargs="*", help="files, names or words that the verb is about")
    bank.add_argument("-o", dest="output", metavar="PATH", default="", help="where show writes the text")
    bank.add_argument(
        "--most",
        type=int,
        default=50,
        metavar="N",
        help="how many found are shown (50 when not given)",
    )
    bank.set_defaults(terms="")
