"""The slips that people make with multi-loop circuits: names, sentences, sources. Data only.

One row per slip, in groups. What a slip does to a line or to a whole set of equations is modelled
elsewhere, by key. `usual` is a grading of ours from 1 (in every class) to 5 (seldom), common practice
without a source. A new row needs a key of its own and must say where it comes from.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum
from types import MappingProxyType


class Group(StrEnum):
    """Where in the work the slip is made."""

    SIGNS = "signs"
    SYSTEM = "equations and connections"
    IDEAS = "ideas about current and voltage"
    ALGEBRA = "algebra"
    NUMBERS = "numbers, units and instruments"
    TIME = "capacitors, coils and time"
    LINES = "anything else in one line"


class Evidence(StrEnum):
    """How well the slip itself is attested."""

    SEEN = "published"  # the paper was looked up, in abstract or in part
    MEMORY = "published, from memory"
    PRACTICE = "common practice, no source"
    COMPUTED = "computed here"


@dataclass(frozen=True, slots=True)
class CatalogueEntry:
    """One kind of slip.

    `key`: short words, stable. `name`: what people are told it is. `said`: one sentence on what is done
    wrong. `source`: keys of `WORKS`; where `evidence` is `PRACTICE`, these are on something
    near to it and not on the slip itself. `from_memory`: those of the works cited from memory here.
    """

    key: str
    name: str
    said: str
    group: Group
    source: tuple[str, ...]
    evidence: Evidence
    usual: int
    from_memory: frozenset[str] = frozenset()


WORKS: Mapping[str, str] = MappingProxyType({
    "Ca13": "Cangelosi et al., on persistent errors with the minus sign (2013; year from memory)",
    "CEG83": "Cohen, Eylon & Ganiel, Am. J. Phys. 51, 407 (1983; from memory)",
    "Cl83": "Closset (1983; from memory)",
    "DvR98": "Duit & von Rhöneck, and McDermott's comment, in an ICPE handbook (1998; names from memory)",
    "EB04": "Engelhardt & Beichner, Am. J. Phys. 72, 98 (2004)",
    "HW10": "Hayes & Wittmann, Phys. Teach. 48, 246 (2010)",
    "HYL12": "Hussain, Latiff & Yahaya (2012)",
    "Jo84": "Johsua (1984; from memory)",
    "MS92": "McDermott & Shaffer, Am. J. Phys. 60, 994 and 1003 (1992; from memory)",
    "OS": "OpenStax, University Physics, vol. 2, on Kirchhoff's rules and on measuring",
    "OSTP": "Introductory Physics: Building Models, on Kirchhoff's rules",
    "RH06": "Rosenthal & Henderson, Am. J. Phys. 74, 324 (2006; page from memory)",
    "Ru": "Ruhl, Belward & Balatti, on rational expressions (95 students)",
    "Sc03": "Scofield, on algebra errors (2003)",
    "Schemes": "notes on marking of the College Board (2012, 2017, 2018) and of British examining boards",
    "SE18": "Sambamurthy & Edgcomb, ASEE (2018), doi 10.18260/1-2--29735",
    "Sh84": "Shipstone, Eur. J. Sci. Educ. 6, 185 (1984)",
    "Sk15": "Skromme & Robinson, ASEE (2015)",
    "St13": "Stetzer, van Kampen, Shaffer & McDermott, Am. J. Phys. 81, 134 (2013)",
    "SvK11": "Smith & van Kampen, Phys. Rev. ST Phys. Educ. Res. 7, 020115 (2011)",
    "SvK13": "Smith & van Kampen, Am. J. Phys. 81, 389 (2013)",
    "TG11": "Torigoe & Gladding, Am. J. Phys. 79, 133 (2011)",
    "TGB99": "Thacker, Ganiel & Boys, Am. J. Phys. 67, S25 (1999; from memory)",
    "TK": "Timmermann & Kautz, on open switches and open circuits",
    "TK14": "Timmermann & Kautz, on voltage and potential (2014)",
    "vA85": "van Aalst (1985; from memory)",
    "WB20": "White Brahmia et al., arXiv:1903.03806",
})  # fmt: skip

_V, _M, _P, _C = Evidence.SEEN, Evidence.MEMORY, Evidence.PRACTICE, Evidence.COMPUTED
_Row = tuple[str, int, Evidence, str, str, str]

# key, usual, evidence of the slip itself, works ("~" after one: cited from memory here), name, sentence
# fmt: off
_SIGNS: tuple[_Row, ...] = (
    ("drop-sign", 1, _P, "WB20 HW10", "drop against the arrow",
     "A drop is signed as if its arrow were met the other way."),
    ("source-sign", 1, _P, "SvK11", "source signed by an arrow",
     "The sign of a source is taken from an arrow instead of from the terminal met first."),
    ("sources-all-plus", 2, _P, "SvK11", "every source a rise",
     "Every source is counted as a rise, whichever way round it sits."),
    ("terminals-swapped", 3, _P, "", "long and short plate confused",
     "The terminals of all batteries are read the wrong way round."),
    ("junction-sign", 1, _V, "St13", "one sign wrong at a junction",
     "One current of a junction equation is counted in where it flows out, or out where it flows in."),
    ("drops-all-minus", 2, _P, "", "every drop a minus",
     "All drops round a loop get a minus, although some arrows are met head-on."),
    ("sense-turned", 3, _P, "", "sense reversed mid-loop",
     "From some place on, the loop is signed for the other sense of travel."),
    ("double-flip", 3, _P, "", "arrow and sign both reversed",
     "After a negative result the arrow is reversed and the minus is kept as well."),
    ("minus-dropped", 1, _V, "WB20", "minus sign of a result lost",
     "A negative current is written as positive with its arrow left as it was."),
    ("negative-impossible", 3, _P, "", "negative current thought impossible",
     "A negative result is replaced by zero, or given up."),
    ("moved-sign", 1, _V, "Ca13 Ru", "moved across without a change of sign",
     "A term is taken to the other side of the equals sign and keeps its sign."),
    ("mesh-sum", 3, _P, "", "mesh currents added for subtracted",
     "In an element shared by two loops with the same sense the loop currents are added."),
    ("voltage-order", 2, _V, "TK14", "order of a voltage",
     "The potential difference between two points is taken in the other order."),
    ("two-grounds", 4, _P, "", "two points at zero",
     "Two different points are both given the potential zero."),
    ("charging-voltage", 3, _P, "", "terminal voltage of a battery being charged",
     "The drop across the internal resistance is subtracted although the current enters the + terminal."),
    ("source-supplies", 2, _P, "OS", "every source supplies",
     "The power of every battery is counted as supplied, also that of one being charged."),
)
_SYSTEM: tuple[_Row, ...] = (
    ("loops-only", 2, _V, "OS OSTP", "loops and no junction",
     "Only loop equations are written, one of which follows from the others."),
    ("junction-twice", 2, _V, "OS", "the same junction twice",
     "Both ends of the same branches are used, which says the same thing twice."),
    ("too-few", 3, _P, "", "too few equations, patched",
     "An unknown is guessed or set to zero because an equation is missing."),
    ("wrong-current", 1, _V, "SvK11 St13", "wrong current in a drop",
     "A resistance is multiplied by the current of another branch: one current all the way round."),
    ("drop-missing", 1, _P, "", "a drop left out",
     "A resistance that the loop passes is not counted."),
    ("source-missing", 2, _P, "", "a source left out",
     "A source that the loop passes is not counted."),
    ("branch-missing", 2, _P, "", "a branch missed at a junction",
     "A branch that ends at the junction is not counted."),
    ("points-confused", 3, _M, "Jo84~ vA85~ EB04~", "points split or merged",
     "Points joined by a wire are taken for two, or two points with an element between them for one."),
    ("false-series", 1, _V, "MS92~ Sk15", "added as if in series",
     "Two resistances with a branching between them are added."),
    ("false-parallel", 2, _V, "SvK11", "taken as parallel",
     "Branches that hold batteries, or do not share both ends, are combined as parallel."),
    ("parallel-added", 2, _M, "MS92~ EB04~", "parallel resistances added",
     "The sum of two resistances stands where their parallel combination belongs."),
    ("reciprocal-left", 2, _M, "EB04~", "reciprocal not undone",
     "The sum of the reciprocals is written for the parallel combination itself."),
    ("product-over-sum", 3, _P, "", "product over sum for three",
     "The rule for two parallel resistances is stretched to three."),
    ("parallel-sources-add", 3, _V, "SvK11 EB04~", "parallel sources added",
     "The emfs of batteries side by side are added."),
    ("bypass-missed", 3, _M, "EB04~ MS92~", "bypass not seen",
     "An element with a wire across it is given a current."),
    ("short-no-current", 4, _V, "HYL12 Sk15", "no current in a short",
     "A branch without resistance is given no current."),
    ("open-no-voltage", 1, _V, "TK HYL12", "no voltage across an open switch",
     "The voltage across an open switch is set to zero."),
    ("current-to-gap", 3, _M, "EB04~", "current in an open branch",
     "An open branch is given a current."),
    ("bridge-balanced", 2, _P, "", "balance assumed",
     "The current in the middle of a bridge is set to zero without testing for balance."),
    ("bridge-reduced", 2, _P, "", "bridge reduced all the same",
     "An unbalanced bridge is taken apart into series and parallel."),
    ("loaded-divider", 2, _V, "Sk15", "divider with a load",
     "The voltage divider rule is used although a load is connected."),
    ("divider-inverted", 2, _V, "Sk15", "current divider the wrong way round",
     "The share of a branch is taken in proportion to its own resistance."),
    ("cover-rule", 3, _C, "OS", "stopping when all is covered",
     "Loops are written until every element is in one, which may be too few."),
    ("label-twice", 3, _V, "OS", "one name for two currents",
     "Two branches carry the same current name."),
    ("shorted-source", 4, _P, "HYL12", "battery with a wire across it",
     "A battery shorted by a wire is ignored, or its current is found from a distant resistance."),
)
_IDEAS: tuple[_Row, ...] = (
    ("current-used-up", 2, _M, "MS92~ Sh84~ DvR98", "current used up",
     "Less current leaves an element than enters it."),
    ("battery-fixed-current", 2, _V, "EB04 SvK11", "battery as a fixed current",
     "The current of a battery is taken as unchanged when the rest changes."),
    ("equal-split", 1, _M, "MS92~", "equal split",
     "The current divides equally, whatever the resistances."),
    ("least-resistance", 2, _P, "", "path of least resistance only",
     "All the current goes through the smallest resistance."),
    ("voltage-needs-current", 2, _V, "CEG83 RH06 TK", "voltage belongs to current",
     "Where no current flows, the voltage is set to zero."),
    ("net-emf", 2, _V, "SvK11", "net emf over all resistance",
     "One current is found from all emfs over all resistances, as in a single loop."),
    ("stronger-wins", 2, _V, "SvK11", "the stronger battery wins",
     "The weaker battery is left out of account."),
    ("load-sees-sum", 2, _V, "SvK11", "load sees the sum",
     "The load is given the sum of the emfs."),
    ("inside-forgotten", 1, _P, "", "internal resistance forgotten",
     "The emf is taken for the terminal voltage; the drop across the internal resistance is not counted."),
    ("local-reasoning", 2, _M, "CEG83~ DvR98 EB04~", "local reasoning",
     "A change in one branch is thought to act on that branch alone."),
    ("sequential-reasoning", 2, _V, "Sh84 Cl83~ SE18", "sequential reasoning",
     "A change is thought to act only on what the current meets later."),
    ("whole-emf-each", 3, _P, "", "whole emf on each resistor",
     "The whole emf lies across every resistor."),
    ("branch-alone", 3, _P, "", "branch taken alone",
     "Each battery drives a current through its own resistance only."),
    ("superposed-open", 2, _V, "Sk15", "superposed with open circuits",
     "For superposition the other battery is taken out instead of replaced by a wire."),
    ("power-superposed", 3, _P, "", "powers superposed",
     "The powers due to each battery alone are added."),
    ("own-mesh-only", 2, _V, "SvK11", "battery drives its own loop only",
     "A battery is thought to have no part in the current of another loop."),
    ("meters-ideal-wrong", 3, _P, "", "meters confused",
     "An ammeter is taken to block the current, or a voltmeter to let it pass."),
    ("brightness-by-one", 3, _M, "MS92~ EB04~", "brightness by one quantity",
     "Lamps are ranked by current or by resistance alone instead of by power."),
)
_ALGEBRA: tuple[_Row, ...] = (
    ("bracket-lost", 1, _V, "Ca13 Sc03", "brackets lost",
     "A factor is applied to one term of a bracket only."),
    ("minus-bracket", 1, _V, "Ca13", "minus before a bracket",
     "A minus before a bracket is applied to its first term only."),
    ("one-term-multiplied", 2, _V, "Sc03", "one term left unmultiplied",
     "When a line is multiplied, a term is left as it was."),
    ("added-for-subtracted", 2, _P, "", "added for subtracted",
     "Two lines are added where they should be subtracted."),
    ("shared-once", 3, _P, "", "shared term counted once",
     "When two lines are added, a term that stands in both is counted once."),
    ("denominator-term", 2, _V, "Ru", "denominator term missing",
     "A product is missing from the common denominator."),
    ("denominator-sign", 3, _P, "", "minus in the denominator",
     "A product of resistances has a minus in the denominator."),
    ("numerator-sign", 2, _P, "", "sign in the numerator",
     "A term above the line has the wrong sign."),
    ("numerator-bracket", 2, _V, "Sc03", "bracket above the line lost",
     "A factor above the line is applied to one term of its bracket only."),
    ("cancelled-across-sum", 2, _V, "Sc03 Ru", "cancelled across a sum",
     "A factor of one term is cancelled against a whole sum."),
    ("subscript", 1, _V, "TG11", "subscript slip",
     "One symbol stands where another of the same kind belongs."),
    ("fraction-inverted", 2, _P, "", "fraction upside down",
     "What belongs below the line stands above it."),
    ("circular", 3, _P, "", "put back where it came from",
     "A result is put into the equation that it came from."),
    ("divided-by-zero", 4, _P, "", "divided by what may be zero",
     "Both sides are divided by a quantity that can vanish."),
    ("resistance-squared", 4, _P, "", "resistance squared",
     "A resistance stands squared where it can only stand once."),
    ("copied-wrong", 2, _V, "Ca13", "copied wrongly",
     "Something changed from one line to the next by miscopying."),
)
_NUMBERS: tuple[_Row, ...] = (
    ("units-mixed", 1, _P, "", "units mixed",
     "Milliamperes and kilohms are mixed with amperes and ohms: a factor of a thousand."),
    ("prefix-dropped", 2, _P, "", "prefix dropped",
     "The prefix of one unit is lost."),
    ("unit-missing", 1, _V, "Schemes", "unit missing or wrong",
     "A number stands without its unit, or with a wrong one."),
    ("figures", 2, _V, "Schemes", "too many or too few figures",
     "A result has more figures than the data bear, or only one."),
    ("early-rounding", 1, _P, "", "rounded too early",
     "A number is rounded between two lines and carried on."),
    ("calculator-order", 2, _P, "", "order of operations",
     "A sum below a line was keyed in without brackets."),
    ("digits", 2, _V, "Schemes", "digits swapped or miscounted",
     "Two digits are swapped, a digit or the point is wrong, or the arithmetic is."),
    ("tolerance", 3, _C, "", "tolerance misread",
     "The tolerance of a resistor is taken for the uncertainty of the current."),
    ("meter-sign", 2, _P, "", "sign of a reading",
     "A reading is taken without regard to which probe was where."),
    ("ohmmeter-connected", 2, _V, "OS", "ohmmeter on a connected part",
     "A resistance is measured while the rest of the circuit is still connected."),
    ("meter-misplaced", 2, _V, "OS", "meter in the wrong place",
     "An ammeter is put across an element, or a voltmeter into the branch."),
    ("capacitor-always", 2, _V, "SvK13 TGB99", "capacitor always open or always a wire",
     "A capacitor is taken as open at every time, or as a wire at every time."),
    ("nearest-resistance", 3, _P, "", "time constant from the nearest resistance",
     "One resistance is used for the time constant instead of what the storage sees."),
    ("wrong-continuous", 3, _M, "TGB99~", "wrong quantity carried over",
     "The current of a capacitor, or the voltage of an inductor, is taken as continuous."),
    ("limit-misread", 2, _V, "TK", "limit misread",
     "An open branch is said to have no voltage, or a quotient of two zeros to be zero."),
)
_TIME: tuple[_Row, ...] = (
    ("between-capacitors", 2, _P, "", "cut off between capacitors",
     "What stands between two capacitors is thought to carry no current at any time."),
    ("bypassed-counted", 2, _P, "", "a resistance counted that is not seen",
     "A resistance that an ideal battery bridges is counted in what a storage sees."),
    ("seen-combined", 1, _P, "", "seen resistance put together wrongly",
     "Resistances are added that a storage sees side by side, or the other way round."),
    ("battery-left-in", 2, _P, "", "battery not turned into a wire",
     "For the seen resistance a battery is taken out as a gap instead of replaced by a wire."),
    ("tau-form", 1, _P, "", "time constant of the wrong form",
     "R/C, L R or R/L is written for the time constant."),
    ("capacitors-combined", 1, _P, "", "capacitors combined as resistors",
     "Capacitors in series are added, or those in parallel taken as product over sum."),
    ("energy-kept", 2, _P, "", "energy kept instead of charge",
     "Where charge is shared, the energy is thought to stay and not the charge."),
    ("plates-added", 2, _P, "", "charges added for subtracted",
     "Where plates of unlike sign are joined, their charges are added."),
    ("half-forgotten", 1, _P, "", "half forgotten in an energy",
     "C V² or L I² is written for the energy of a storage."),
    ("battery-work", 2, _P, "", "work of the battery halved",
     "The work of the battery is taken as C V²/2, which is what the capacitor keeps."),
    ("charge-of-emf", 1, _P, "", "whole emf on the capacitor",
     "The emf is taken for the voltage of a capacitor although a resistance has a drop."),
    ("exponent-sign", 2, _P, "", "exponent with the wrong sign",
     "The exponent is positive, so that the quantity grows without end."),
    ("exponent-prefix", 1, _P, "", "prefix lost in the exponent",
     "The rate in the exponent is off by a power of ten: milli for micro, or a nought lost."),
    ("second-stage", 2, _P, "", "second stage on the first clock",
     "The time of a second stage is not counted from its own start."),
    ("ends-exchanged", 1, _P, "", "start and end exchanged",
     "The value just after the move stands for that long after, or the other way round."),
    ("rise-for-fall", 1, _P, "", "rising form for a falling quantity",
     "The form 1 − e^(−t/τ) is written for what falls or does not begin at nothing, or e^(−t/τ) for a rise."),
    ("end-left-out", 1, _P, "", "end value left out",
     "The value long after is left out of a course although it is not zero."),
    ("start-for-difference", 2, _P, "", "start for the difference to the end",
     "The factor of e^(−t/τ) is the start alone instead of the start less the end."),
    ("coil-current-jumps", 1, _P, "", "current of a coil jumps",
     "The current of a coil is thought to start from nothing, or to stop, when a switch moves."),
    ("coil-always", 1, _P, "", "coil always a wire or always a gap",
     "A coil is taken as a wire at t = 0, or as a gap for ever."),
    ("direction-after", 2, _P, "", "direction after the switch moves",
     "A current that a storage drives is given the direction that it had before."),
    ("currents-for-charge", 3, _P, "", "no current taken for no charge",
     "That no current flows at first is read as a capacitor without charge."),
    ("storages-apart", 2, _P, "", "two storages on their own",
     "Two storages that feel one another are given a time constant each."),
    ("settled-at-five", 2, _P, "", "settled after five time constants",
     "What comes ever nearer is said to be there exactly, after five time constants."),
    ("cut-off", 2, _P, "", "cut off instead of rounded",
     "The figures behind the last one are dropped instead of rounded."),
    ("heat-by-resistance", 2, _P, "", "heat thought to depend on the resistance",
     "The heat of charging is said to change with the resistance."),
    ("spark-limit", 3, _P, "", "no more than the emf at an opened coil",
     "The voltage at an opened coil is thought not to exceed the emf."),
)
_LINES: tuple[_Row, ...] = (
    ("arrow-otherwise", 2, _P, "", "another arrow",
     "The line is right if one arrow is drawn the other way than was said."),
    ("term-missing", 2, _P, "", "a term left out",
     "A term of an expression is left out."),
    ("term-extra", 3, _P, "", "a term too many",
     "A term stands that does not belong there."),
    ("term-twice", 3, _P, "", "a term counted twice",
     "A term is counted twice where it belongs once."),
    ("factor-missing", 3, _P, "", "a factor left out",
     "A factor of a term is left out."),
    ("factor-extra", 3, _P, "", "a factor too many",
     "A factor stands that does not belong there."),
    ("wrong-divisor", 3, _P, "", "divided by the wrong thing",
     "Something is divided by, or multiplied with, where the other belongs."),
)
# fmt: on


def _entry(row: _Row, group: Group) -> CatalogueEntry:
    key, usual, evidence, works, name, said = row
    cited = works.split()
    source = tuple(work.rstrip("~") for work in cited)
    from_memory = frozenset(work.rstrip("~") for work in cited if work.endswith("~"))
    return CatalogueEntry(key, name, said, group, source, evidence, usual, from_memory)


_GROUPS = (
    (Group.SIGNS, _SIGNS),
    (Group.SYSTEM, _SYSTEM),
    (Group.IDEAS, _IDEAS),
    (Group.ALGEBRA, _ALGEBRA),
    (Group.NUMBERS, _NUMBERS),
    (Group.TIME, _TIME),
    (Group.LINES, _LINES),
)

CATALOGUE: Mapping[str, CatalogueEntry] = MappingProxyType(
    {row[0]: _entry(row, g) for g, rows in _GROUPS for row in rows}
)
