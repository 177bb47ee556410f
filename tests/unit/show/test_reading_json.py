"""A reading as data: a stable shape, every key of it documented."""

from __future__ import annotations

import json
from fractions import Fraction

from loopwright.reading.marking.propose import propose
from loopwright.reading.marking.scheme import BUILT_IN
from loopwright.reading.verdicts import ClaimKind, Counter
from loopwright.show.reading_json import as_data
from tests.architecture.source import ROOT
from tests.unit.reading.made_readings import CARRIED, GOOD, JUNCTION, LEFT, WRONG_SIGN, reading

WRONG = reading(JUNCTION, LEFT, WRONG_SIGN, *CARRIED)


def test_json_keeps_its_shape() -> None:
    data = json.loads(json.dumps(as_data(WRONG, propose(WRONG, BUILT_IN["ten"]))))
    assert list(data) == ["right", "first_untrue", "arrows", "lines", "enough", "faults", "mark"]
    line = data["lines"][2]
    assert (line["standing"], line["claims"][0]["repairs"][0]["entry"]) == ("not true", "source-sign")
    assert list(line["claims"][0]) == [
        "read", "start", "end", "case", "kind", "holds", "truth", "said", "used", "how", "loops", "points",
        "carried", "cause", "counter", "repairs",
    ]  # fmt: skip
    assert (data["mark"]["total"], data["mark"]["out_of"], data["first_untrue"]) == (9.0, 10.0, 3)


def test_every_key_of_the_json_is_documented() -> None:
    page = (ROOT / "docs/marking.md").read_text()
    case = ("Ic = Ib", ClaimKind.UNTRUE, {"counter": Counter({"Ic": Fraction(1)}, Fraction(1), Fraction(2))})
    made = reading(*GOOD, case)
    found: set[str] = set()

    def keys(data: object) -> None:
        for each in data.values() if isinstance(data, dict) else data if isinstance(data, list) else ():
            keys(each)
        if isinstance(data, dict):
            found.update(data)

    keys(as_data(made, propose(made, BUILT_IN["ten"])))
    own = {*made.circuit.currents, *map(str, range(99))}  # names and numbers of lines, not keys
    assert sorted(key for key in found - own if f"`{key}`" not in page) == []
