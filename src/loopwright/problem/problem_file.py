"""The problem file: TOML 1.0 in, a circuit out, or all that is wrong with it, each with its line.

    Ib = "bus, R2, -E2, rail"     start point, what the arrow meets in order, end point

Each branch is read along its arrow; to flip an arrow, read the branch the other way. Knows no laws:
whether the circuit has an answer is for `diagnose`.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from decimal import Decimal
from fractions import Fraction
from pathlib import Path
from typing import TYPE_CHECKING

from ..circuit.circuit import Circuit
from ..circuit.claims import claim
from ..circuit.elements import UNIT_OF, Branch, Kind
from ..circuit.names import listed, nearest, point_name, quantity_name
from ..circuit.plots_asked import MOST_PLOTS, plot_asked
from ..circuit.rankings import is_ranking, ranking
from ..circuit.targets import free_ends, target
from ..circuit.unknowns import faults_of, results_meant, runs_backwards
from ..errors import FaultyMaterial
from ..findings import Finding, Severity
from ..later import later
from ..quantities import figures_of_data
from .branch_lines import BranchLine, branch, read_lines
from .element_values import ElementValues, read_elements
from .faults import Faults
from .key_lines import KeyLines, KeyPath, key_lines, load
from .ladder_table import laddered, read_ladder
from .loops_key import read_loops
from .problem_text import written as written
from .sheet_table import read_method, read_sheet_table
from .time_tables import check_moves, in_order, read_moves, read_start, with_states
from .value_checks import check_names, check_signs, check_unit_kinds, read_numbers, read_ratings

if TYPE_CHECKING:
    from ..circuit.in_time import timed_question
    from ..circuit.timed_claims import timed_claim
    from .board_table import read_board_table
    from .versions_table import check_wishes, read_versions
else:
    timed_question = later("loopwright.circuit.in_time", "timed_question")
    timed_claim = later("loopwright.circuit.timed_claims", "timed_claim")
    read_board_table = later("loopwright.problem.board_table", "read_board_table")
    check_wishes = later("loopwright.problem.versions_table", "check_wishes")
    read_versions = later("loopwright.problem.versions_table", "read_versions")

_TABLES = (
    "branches",
    "elements",
    "numbers",
    "switching",
    "start",
    "places",
    "ratings",
    "ladder",
    "versions",
    "sheet",
    "board",
)
_KEYS = ("title", "story", "find", "given", "expect", "plots", "figures", "method", "loops", *_TABLES)
LARGEST = 2_000_000  # bytes of a problem file; anything longer is some other file


def read(source: str | Path) -> Circuit:
    """Reads the circuit of a problem file.

    Raises FaultyMaterial with every error found, each with file, line, key and mend.
    """
    circuit, findings = read_file(source)
    if circuit is None:
        raise FaultyMaterial(*findings)
    return circuit


def read_file(source: str | Path) -> tuple[Circuit | None, tuple[Finding, ...]]:
    """Reads a problem file: the circuit (None where an error stands in the way) and all findings."""
    path = Path(source)
    content, fault = _bytes_of(path)
    return read_bytes(content, path.name) if fault is None else (None, (fault,))


def read_bytes(content: bytes, file: str) -> tuple[Circuit | None, tuple[Finding, ...]]:
    """Reads the bytes of a problem file, which must be UTF-8, as `read_text` reads its text."""
    faults = Faults(file, KeyLines())
    if len(content) > LARGEST:
        return _too_long(faults)
    try:
        return read_text(content.decode("utf-8"), file)
    except UnicodeDecodeError as error:
        faults.keys.lines[("",)] = content[: error.start].count(b"\n") + 1
        faults.add("file/not-utf-8", ("",), "the file is not UTF-8 text.", "Save it again as UTF-8.")
        return None, faults.sorted()


def read_text(text: str, file: str = "problem") -> tuple[Circuit | None, tuple[Finding, ...]]:
    """Reads the text of a problem file: the circuit (None where an error stands in the way) and all findings.

    Warnings may come with a circuit. `file` is the name that the findings tell.
    """
    circuit, findings = read_in_part(text, file)
    if any(finding.severity is Severity.ERROR for finding in findings):
        return None, findings
    return circuit, findings


def read_in_part(text: str, file: str = "problem") -> tuple[Circuit | None, tuple[Finding, ...]]:
    """Reads the text of a problem file that may still be in the making: all findings, and whatever errors are
    among them the circuit as far as it can be made out, good for drawing and for nothing else; None where no
    branch can."""
    text = text.removeprefix("\ufeff").replace("\r\n", "\n")
    faults = Faults(file, KeyLines())
    if len(text) > LARGEST:
        return _too_long(faults)
    if not text.strip():
        faults.add("file/empty", (), "the file is empty.", 'Begin with [branches] and I1 = "a, +E, R, a".')
        return None, faults.sorted()
    faults.keys = key_lines(text)
    content, complaints = load(text)
    for complaint in complaints:
        faults.keys.lines[("",)] = complaint.line
        faults.add("file/not-toml", ("",), f"{complaint.message}.", complaint.mend)
    if complaints:
        return None, faults.sorted()
    circuit = _circuit(content, faults)
    if circuit is None:
        return None, faults.sorted()
    return replace(circuit, origins=faults.keys.places(file)), faults.sorted()


def _too_long(faults: Faults) -> tuple[None, tuple[Finding, ...]]:
    faults.add(
        "file/too-long", (), "the file is too long for a problem file.", "Look whether it is the right one."
    )
    return None, faults.sorted()


def _bytes_of(path: Path) -> tuple[bytes, Finding | None]:
    """The bytes of a file, one more than are read of one that is too long, or what stands in the way."""
    faults = Faults(path.name or str(path), KeyLines())
    if path.is_dir():
        faults.add("file/not-a-file", (), f"{path} is a folder.", "Name a problem file in it.")
        return b"", faults.found[0]
    try:
        with path.open("rb") as file:
            return file.read(LARGEST + 1), None
    except FileNotFoundError:
        beside = [p.name for p in sorted(path.parent.glob("*.toml"))] if path.parent.is_dir() else []
        near = nearest(path.name, beside)
        mend = f"Did you mean {near}?" if near else "Look at the name and the folder."
        faults.add("file/missing", (), f"there is no file {path}.", mend)
    except (OSError, ValueError) as error:
        reason = getattr(error, "strerror", None) or "the name cannot be used"
        faults.add(
            "file/unreadable", (), f"{path} cannot be read: {reason.lower()}.", "Look at its permissions."
        )
    return b"", faults.found[0]


# -- the whole file ------------------------------------------------------------------------------


def _circuit(content: Mapping[str, object], faults: Faults) -> Circuit | None:
    lost = _check_keys(content, faults)
    tables = {name: _table(content, name, faults) for name in _TABLES}
    if not tables["branches"]:
        if not lost and isinstance(content.get("branches", {}), Mapping):
            faults.add(
                "file/no-branches",
                ("branches",),
                "the file names no branch.",
                'Write them under [branches], such as Ih = "bus, Rh, rail".',
            )
        return None
    known = [quantity_name(key) or key for key in tables["elements"]]
    repeated = read_ladder(tables["ladder"], faults)
    joined = repeated.joints if repeated is not None else None if tables["ladder"] else ()
    if joined is not None:
        joined = (*joined, *free_ends(content.get("find")))
    lines = read_lines(tables["branches"], known, faults, joined)
    met = {entry.name: line.key for line in reversed(lines) for entry in reversed(line.elements)}
    met = dict(reversed(met.items()))
    moves = read_moves(tables["switching"], faults)
    values = read_elements(with_states(tables["elements"], tables["switching"], moves, met), met, faults)
    circuit = _assembled(content, lines, values, faults)
    circuit = replace(
        circuit,
        switching=check_moves(moves, values, tables, faults),
        start=read_start(tables["start"], values, frozenset(met), faults),
    )
    if tables["versions"]:
        circuit = replace(circuit, versions=read_versions(tables["versions"], circuit, faults))
    numbers = read_numbers(tables["numbers"], circuit, values, faults)
    circuit = replace(
        circuit,
        numbers={name: reading.value for name, reading in numbers.items()},
        written={name: reading.text for name, reading in numbers.items()},
        ratings=read_ratings(tables["ratings"], circuit, faults),
        places=_places(tables["places"], circuit, lines, faults),
        page=replace(
            read_sheet_table(tables["sheet"], faults), method=read_method(content.get("method", ""), faults)
        ),
    )
    if tables["board"]:
        circuit = replace(circuit, board=read_board_table(tables["board"], faults))
    circuit = in_order(circuit, tables["switching"], faults)
    if "figures" not in content:
        circuit = replace(circuit, figures=figures_of_data(circuit.written.values()))
    check_names(circuit, lines, faults)
    if check_unit_kinds(circuit, values, faults):
        check_signs(circuit, values, faults)
    if repeated is not None:
        circuit = laddered(circuit, repeated, faults)
    circuit = replace(circuit, loops=read_loops(_texts(content, "loops", faults), circuit, faults))
    _check_questions(circuit, _texts(content, "find", Faults("", KeyLines())), faults)
    if tables["versions"] and not faults.serious:
        check_wishes(circuit, faults)
    if circuit.sought and not circuit.find and not faults.serious:
        circuit = replace(circuit, find=results_meant(circuit))
    return circuit


def _assembled(
    content: Mapping[str, object], lines: tuple[BranchLine, ...], values: ElementValues, faults: Faults
) -> Circuit:
    kinds = {name: element.kind for name, element in values.elements.items()}
    branches = tuple(_known(branch(line, kinds, faults), kinds) for line in lines)
    bare = Circuit(branches, values.elements)
    given, asked = _texts(content, "given", faults), _texts(content, "find", faults)
    timed = tuple(asked) if bare.storages else ()
    ranked = [t for t in asked if t not in timed and is_ranking(t)]
    others = [t for t in asked if t not in ranked and t not in timed]
    backwards = [t for t in others if runs_backwards(t, bare.symbols, given=bool(given))]
    return replace(
        bare,
        title=_text(content, "title", faults),
        story=_text(content, "story", faults),
        find=tuple(t for t in others if t not in backwards),
        ranked=tuple(ranked),
        in_time=timed,
        sought=tuple(backwards),
        given=given,
        expect=_texts(content, "expect", faults),
        plots=_texts(content, "plots", faults),
        figures=_figures(content, faults),
    )


def _known(whole: Branch, kinds: Mapping[str, Kind]) -> Branch:
    """The branch without the elements of unknown kind: what can still be checked."""
    along = tuple(item for item in whole.along if isinstance(item, str) or item.element in kinds)
    return replace(whole, along=along)


def _check_keys(content: Mapping[str, object], faults: Faults) -> bool:
    """Finds unknown keys; whether branches seem to stand under one of them."""
    lost = False
    for key in content:
        if key in _KEYS:
            continue
        near = nearest(key, _KEYS)
        inside = quantity_name(key) is not None and isinstance(content[key], str) and "," in str(content[key])
        mend = f"Did you mean {near}?" if near else f"A problem file has {listed(_KEYS)}."
        if inside:
            mend = "A branch stands below the line [branches]."
        lost = lost or inside or near == "branches"
        faults.add("file/unknown-key", (key,), f'a problem file has no key "{key}".', mend)
    return lost


def _table(content: Mapping[str, object], name: str, faults: Faults) -> Mapping[str, object]:
    table = content.get(name, {})
    if isinstance(table, Mapping):
        return {key: value for key, value in table.items() if not _misplaced(name, key, faults)}
    faults.add("file/wrong-type", (name,), f"{name} is not a table.", f"Write [{name}] on a line of its own.")
    return {}


def _misplaced(table: str, key: str, faults: Faults) -> bool:
    """Whether a key of the whole file stands below the name of a table, which then takes it."""
    if key not in _KEYS or key in _TABLES:
        return False
    faults.add(
        "file/misplaced-key",
        (table, key),
        f"{key} stands below [{table}], and so belongs to that table.",
        "Move the line up, above the first table in [ ].",
    )
    return True


def _text(content: Mapping[str, object], key: str, faults: Faults) -> str:
    text = content.get(key, "")
    if isinstance(text, str):
        return text.strip()
    faults.add("file/wrong-type", (key,), f"the {key} is not a text.", f'Write it in quotes: {key} = "...".')
    return ""


_EXAMPLES = {
    "find": '["I1", "V(a, b)"]',
    "given": '["I1 = 0.50 A"]',
    "expect": '["Ib -> 0 as R2 -> ∞"]',
    "loops": '["I1 + I2"]',
    "plots": '["P(R1) against R1"]',
}


def _texts(content: Mapping[str, object], key: str, faults: Faults) -> tuple[str, ...]:
    listed_texts = content.get(key, [])
    example = _EXAMPLES[key]
    if isinstance(listed_texts, str):
        listed_texts = [listed_texts]
    if not isinstance(listed_texts, list):
        faults.add("file/wrong-type", (key,), f"{key} is not a list.", f"Write it as {key} = {example}.")
        return ()
    texts: list[str] = []
    for number, text in enumerate(listed_texts):
        if isinstance(text, str) and text.strip():
            texts.append(text.strip())
        else:
            faults.add(
                "file/wrong-type",
                (key, number),
                f"item {number + 1} of {key} is no text.",
                f"Write {key} = {example}.",
            )
    return tuple(texts)


def _figures(content: Mapping[str, object], faults: Faults) -> int:
    figures = content.get("figures", 3)
    if isinstance(figures, int) and not isinstance(figures, bool) and 1 <= figures <= 12:
        return figures
    faults.add(
        "file/figures-out-of-range",
        ("figures",),
        "figures is the number of significant figures of results, a whole number from 1 to 12.",
        "Write figures = 3.",
    )
    return 3


# -- places --------------------------------------------------------------------------------------


def _places(
    table: Mapping[str, object], circuit: Circuit, lines: tuple[BranchLine, ...], faults: Faults
) -> Mapping[str, tuple[Fraction, Fraction]]:
    ends = tuple(dict.fromkeys(point for line in lines for point in (line.start, line.end)))
    on_the_way = tuple(dict.fromkeys(point for line in lines for point in line.on_the_way))
    places: dict[str, tuple[Fraction, Fraction]] = {}
    for key, content in table.items():
        point = point_name(key) or key
        if point not in ends and point not in on_the_way:
            near = nearest(point, (*ends, *on_the_way))
            mend = f"Did you mean {near}?" if near else "Take the line out, or name a point of a branch."
            faults.add(
                "file/unknown-point", ("places", key), f"no branch touches a point {key}.", mend, (key,)
            )
            continue
        place = _place(content)
        if place is None:
            faults.add(
                "file/unreadable-place",
                ("places", key),
                f"the place of {key} is not a pair of numbers.",
                f"Write {key} = [2, 0]: to the right, and upwards.",
                (key,),
            )
            continue
        twin = next((other for other, there in places.items() if there == place), None)
        if twin is not None:
            faults.add(
                "file/two-points-in-one-place",
                ("places", key),
                f"{twin} and {key} are at the same place.",
                "Move one of them; points joined by a plain wire still need two places.",
                (twin, key),
            )
        places[point] = place
    missing = [point for point in ends if point not in places]
    if places and missing and all((point_name(key) or key) in places for key in table):
        faults.add(
            "file/places-incomplete",
            ("places",),
            f"places are given for some points but not for {listed(missing)}.",
            "Give a place to every point at which a branch begins or ends, or to none.",
            tuple(missing),
        )
    return places


def _place(content: object) -> tuple[Fraction, Fraction] | None:
    if not isinstance(content, list) or len(content) != 2:
        return None
    pair = [_exact(item) for item in content]
    return (pair[0], pair[1]) if pair[0] is not None and pair[1] is not None else None


def _exact(item: object) -> Fraction | None:
    if isinstance(item, Decimal):
        return Fraction(item) if item.is_finite() and abs(item.adjusted()) <= 9 else None
    if isinstance(item, int) and not isinstance(item, bool):
        return Fraction(item) if abs(item) < 10**9 else None
    return None


# -- questions and expectations ------------------------------------------------------------------


def _check_questions(circuit: Circuit, asked: tuple[str, ...], faults: Faults) -> None:
    for number, text in enumerate(asked):
        if text not in circuit.sought:
            try:
                if text in circuit.in_time:
                    timed_question(text, circuit)
                else:
                    _ = ranking(text, circuit) if is_ranking(text) else target(text, circuit)
            except FaultyMaterial as error:
                _put_down(error, ("find", number), faults)
    for (key, number), finding in faults_of(circuit):
        at = asked.index(circuit.sought[number]) if key == "find" and asked else number
        _put_down(FaultyMaterial(finding), (key, at), faults)
    for number, text in enumerate(circuit.expect):
        try:
            _check_claim(text, circuit)
        except FaultyMaterial as error:
            _put_down(error, ("expect", number), faults)
    for number, text in enumerate(circuit.plots[:MOST_PLOTS]):
        try:
            plot_asked(text, circuit)
        except FaultyMaterial as error:
            _put_down(error, ("plots", number), faults)
    if len(circuit.plots) > MOST_PLOTS:
        message = f"{len(circuit.plots)} plots are asked for, and a file may ask for {MOST_PLOTS}."
        faults.add("plots/too-many", ("plots", MOST_PLOTS), message, "Make another file for the others.")


def _put_down(error: FaultyMaterial, path: KeyPath, faults: Faults) -> None:
    for finding in error.findings:
        faults.add(finding.code, path, finding.message, finding.mend, finding.about)


def _check_claim(text: str, circuit: Circuit) -> None:
    if circuit.storages:
        timed_claim(text, circuit)
        return
    valued = [name for name, element in circuit.elements.items() if element.kind in UNIT_OF]
    limits = (*circuit.symbols, *valued)
    said = claim(text, (*circuit.currents, *limits))
    for name, known in (*((n, (*circuit.currents, *limits)) for n in said.names()), (said.symbol, limits)):
        if "(" in name:
            target(name, circuit)
        elif name not in known:
            near = nearest(name, known)
            mend = f"Did you mean {near}?" if near else f"Name one of {listed(dict.fromkeys(known), 'or')}."
            raise FaultyMaterial(
                Finding(
                    "file/unknown-in-expectation",
                    f'"{text}" is expected, but this circuit has no {name}'
                    f"{' that could be taken to a limit' if known is limits else ''}.",
                    mend,
                    about=(name,),
                )
            )
