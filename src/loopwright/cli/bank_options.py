"""What can be typed after `loopwright bank`."""

from __future__ import annotations

import argparse

_VERBS = "about add find alike show keep slips given export import backup restore schema remove"
BANK_VERBS = tuple(_VERBS.split())  # the names of `bank_command.VERBS`

_WHAT = """\
Keep problems in a folder, and find them again.

verbs:
  about [NAME...]      all that is known of problems; without a name or a verb, what the bank holds
  add FILE...          put problem files in; a folder stands for all in it
  find [LOOKED FOR]    the problems for which all parts hold that stand between commas; all, for none
  alike [FILE...]      which problems have the same circuit but for names and drawing
  show NAME            the text of a problem
  keep NAME FILE...    keep versions (.toml) and quizzes (.json) with a problem
  slips NAME...        what the numbers of a problem and its versions tell of slips, worked out and kept
  given [FOLDER]       record a folder of papers; without one, what was given when
  given STUDENT        what a student had
  export FOLDER        the whole bank as plain files
  import FOLDER        such files put in
  backup FILE          the whole bank in one file, as it is at one moment
  schema [NUMBER]      which schema the bank has; brought to another, for an older Loopwright
  restore FILE         an empty bank filled with a backup
  remove NAME...       take problems out for good

examples:
  loopwright bank bank/ add examples/
  loopwright bank bank/ find "two sources, bridge, one battery charged, whole numbers"
  loopwright bank bank/ find winch, at most 3 loops, added since 2026-03
  loopwright bank bank/ alike bus.toml
  loopwright bank bank/ show bus -o bus.toml
  loopwright bank bank/ keep bus versions/ bus-quiz.json
  loopwright bank bank/ given week5/ --on 2026-11-29
  loopwright bank bank/ backup bank-monday.db
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
    bank.add_argument(
        "--of",
        metavar="NAME",
        nargs="+",
        default=[],
        help="the problems on the papers, in order, where the folder does not say them",
    )
    bank.add_argument("--on", metavar="DAY", default="", help="the day added or given, as 2026-03-01 (today)")
    bank.add_argument(
        "--occasion", metavar="TEXT", default="", help="what a set of papers is called (as its folder)"
    )
    bank.add_argument(
        "--let-go", action="store_true", help="let schema lose what an older schema cannot hold"
    )
    bank.set_defaults(terms="")
