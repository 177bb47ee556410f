"""What the page shows of a text: figure, equations term by term, currents, faults; then what is proved."""

import json
import re
from pathlib import Path
from typing import Any

import pytest

from loopwright.circuit.circuit import Circuit
from loopwright.desk.answer import fault_on_the_wire, first, second
from loopwright.desk.edits import edited
from loopwright.desk.equations import begun_loop, equation_rows, told_enough
from loopwright.desk.moved import moved
from loopwright.desk.said import said_of
from loopwright.desk.side_by_side import side_by_side
from loopwright.errors import FaultyMaterial
from loopwright.laws.laws import laws
from loopwright.problem.loops_key import loop_text
from loopwright.problem.problem_file import read_text

EXAMPLES = sorted(Path("examples").glob("*.toml"))
TEXT = Path("examples/charge-or-help.toml").read_text()


def circuit_of(text: str) -> Circuit:
    circuit, findings = read_text(text)
    assert circuit is not None, findings
    return circuit


def points_of(answer: dict[str, Any]) -> dict[str, object]:
    return {name: point["at"] for name, point in answer["paper"]["points"].items()}


def amounts_of(html: str) -> list[str]:
    return re.findall(r" = ([^<]+)</button>", html)


@pytest.mark.parametrize("path", EXAMPLES, ids=lambda path: path.stem)
def test_every_example_is_answered_in_plain_data(path: Path) -> None:
    answer = json.loads(json.dumps(first(path.read_text())))
    assert '<svg class="figure"' in answer["paper"]["svg"]
    assert answer["drawable"]
    assert set(answer["paper"]["points"]) == set(re.findall('id="point:([^"]+)"', answer["paper"]["svg"]))


def test_every_thing_on_the_paper_is_heard_by_its_name() -> None:
    told = re.findall(r'aria-label="([^"]+)"', first(TEXT)["paper"]["svg"])
    assert "Branch Ib: arrow from bus to rail, meeting resistor R2, then battery E2 as a drop. " in " ".join(
        f"{label} " for label in told
    ).replace(". Ib is −1.0 A", ". ")
    assert "R1 in branch Ic, 4.0 ohm, in equation (2)" in told
    assert "Point bus, where Ic, Ib and Ih meet" in told


def test_the_ruling_passes_through_every_point_and_goes_on_beyond() -> None:
    paper = first(Path("examples/bridge.toml").read_text())["paper"]
    for point in paper["points"].values():
        for lines, place, at in zip((paper["across"], paper["up"]), point["place"], point["at"], strict=True):
            assert dict(lines)[place] == pytest.approx(at, abs=0.02)
    for lines in (paper["across"], paper["up"]):
        assert [place for place, _ in lines] == sorted({place for place, _ in lines})


def test_every_term_says_what_it_comes_from_and_why_it_has_its_sign() -> None:
    loop = equation_rows(circuit_of(TEXT))[1]
    told = {term["of"]: term["why"] for term in loop["terms"] if term["of"]}
    assert told["E1"] == "E1 is crossed from − to +: a rise."
    assert told["R1"] == "R1 is crossed along the arrow of Ic: a drop."
    assert "".join(term["plain"] for term in loop["terms"][:-1]) == "E1−Ic R1−Ih Rh"


def test_equations_in_time_name_each_storage_and_say_why_it_has_its_sign() -> None:
    text = Path("examples/lifting-magnet.toml").read_text()
    circuit = circuit_of(text)
    rows = {row["plain"]: row for row in equation_rows(circuit)}
    terms = rows["L1 dIL/dt + IL r − IR R2 = 0"]["terms"]
    assert [(term["of"], term["why"].rpartition(": ")[2]) for term in terms[:3]] == [
        ("L1", "a rise."),
        ("L1", "a rise."),
        ("R2", "a drop."),
    ]
    assert terms[0]["why"].startswith("The voltage of L1 is counted as a drop along the arrow of IL")
    assert told_enough(circuit).startswith("As it stands after the move, ")
    pieces = first(text)["pieces"]
    assert "dIL/dt" in pieces["equations"]
    assert pieces["loops-inside"] == ""  # what is taken there a derivation begins with: here there is none
    assert "no list of equations" in first(Path("examples/leaky-line.toml").read_text())["pieces"]["enough"]


def test_every_sign_follows_when_an_arrow_turns() -> None:
    act = {"do": "turn", "branch": "Ih"}
    turned = edited(TEXT, act)
    assert [e["plain"] for e in equation_rows(circuit_of(turned))][:2] == [
        "Ic + Ih = Ib",
        "E1 − Ic R1 + Ih Rh = 0",
    ]
    assert amounts_of(first(turned)["pieces"]["currents"]) == ["2.0 A", "−1.0 A", "−3.0 A"]
    assert said_of(act, turned) == "Arrow of Ih turned: now from rail to bus. Ic + Ih = Ib."


def test_a_small_change_keeps_the_picture_where_it_was() -> None:
    bridge = Path("examples/bridge.toml").read_text()
    name = list(first(bridge)["paper"]["branches"])[2]
    turned = edited(bridge, {"do": "turn", "branch": name})
    assert points_of(first(turned, bridge)) == points_of(first(bridge))


def test_a_circuit_in_the_making_is_drawn_with_what_is_missing_told() -> None:
    text = '[branches]\nI1 = "a, +E1, R1, b"\n'
    answer = first(text)
    assert answer["drawable"]
    assert 'id="element:R1"' in answer["paper"]["svg"]
    assert "no other branch" in answer["pieces"]["findings"]
    assert answer["pieces"]["equations"] == ""
    assert fault_on_the_wire(text, "I1") == ""


def test_a_source_without_a_sign_is_not_drawn_as_if_it_had_one() -> None:
    text = '[branches]\nI1 = "a, E1, R1, b"\nI2 = "b, R2, a"\n'
    answer = first(text)
    assert not answer["drawable"]
    assert 'id="element:E1"' not in answer["paper"]["svg"]
    assert "without a sign" in answer["pieces"]["findings"]
    assert "without a sign" in fault_on_the_wire(text, "I1")


def test_text_that_is_not_toml_has_its_fault_on_its_line() -> None:
    answer = first('[branches]\nI1 = "a, R1\n')
    assert answer["paper"]["points"] == {}
    assert 'data-line="2"' in answer["pieces"]["findings"]
    assert "<div class=bad>2</div>" in answer["pieces"]["gutter"]


def test_a_circuit_without_one_answer_keeps_its_equations_and_says_why() -> None:
    pieces = first('[branches]\nI1 = "a, +E1, b"\nI2 = "a, +E2, b"\nI3 = "a, R1, b"\n')["pieces"]
    assert pieces["equations"]
    assert pieces["currents"] == ""
    assert pieces["findings"]


def test_names_with_markup_are_shown_as_they_are_written() -> None:
    text = 'title = "<b>&"\n[branches]\nI1 = "a<i>, +E1, R1, b"\nI2 = "b, R2, a<i>"\n'
    answer = json.dumps(first(text))
    assert "<i>" not in answer.replace('"a<i>"', "")


@pytest.mark.parametrize(
    ("step", "told"),
    [
        (0, "Rh → 0: Ic → 5.75 A, Ib → −6.00 A, Ih → 11.8 A."),
        (500, "Rh = 5 Ω: Ic = 2.00 A, Ib = −1.00 A, Ih = 3.00 A."),
        (1000, "Rh → ∞: Ic → 714 mA, Ib → 714 mA, Ih → 0 A."),
    ],
)
def test_a_value_that_moves_has_its_currents_with_it(step: int, told: str) -> None:
    text = TEXT.replace("4.0 ohm", "4.00 ohm").replace("3.0 ohm", "3.00 ohm").replace("5.0 ohm", "5.00 ohm")
    text = text.replace("[branches]", "[branches]", 1) if "figures" in text else f"figures = 3\n{text}"
    answer = moved(text, "Rh", 5.0, step)
    assert answer["said"] == told
    assert answer["value"] == ("5 Ω" if step == 500 else "")
    assert max(map(abs, answer["shares"].values())) == 1


def test_a_current_that_grows_without_limit_has_the_broadest_arrow() -> None:
    text = '[branches]\nI1 = "a, +E1, b"\nI2 = "b, R2, a"\nI3 = "b, R3, a"\n[numbers]\n'
    numbers = 'E1 = "9 V"\nR2 = "1 ohm"\nR3 = "1 ohm"\n'
    answer = moved(text + numbers, "R2", 1.0, 0)
    assert answer["said"] == "R2 → 0: I1 → ∞, I2 → ∞, I3 → 9.00 A."
    assert answer["shares"] == {"I1": 1, "I2": 1, "I3": 0}
    with pytest.raises(FaultyMaterial, match="no value is called R9"):
        moved(text + numbers, "R9", 1.0, 0)


def test_a_set_of_loops_that_repeats_itself_is_told_with_its_combination() -> None:
    every = [loop_text(law.loop) for law in laws(circuit_of(TEXT)).every_loop]

    def enough(*loops: str) -> str:
        return told_enough(circuit_of(edited(TEXT, {"do": "loops", "loops": list(loops)})))

    assert enough(*every[:2]).endswith("enough.")
    assert "1 loop is missing" in enough(every[0])
    assert "(4) says nothing new: it is (2) − (3)." in enough(*every)


def test_loops_of_ones_own_are_written_as_they_are_travelled() -> None:
    own = circuit_of(edited(TEXT, {"do": "loops", "loops": ["Ic + Ib", "-Ih + Ib"]}))
    assert equation_rows(own)[1]["plain"] == "E1 − Ic R1 − Ib R2 − E2 = 0"
    assert told_enough(own).endswith("enough.")


def test_a_loop_is_pointed_out_branch_by_branch() -> None:
    first_of = begun_loop(TEXT, ["Ic"])
    assert first_of == {
        "names": ["Ic"],
        "said": "Loop so far: Ic. It is at bus; go on from there.",
        "act": None,
    }
    closed = begun_loop(TEXT, ["Ic", "Ib"])
    assert closed["act"] == {"do": "loops", "loops": ["Ic + Ib"]}
    assert closed["names"] == []
    lines = ("a, +E1, R1, b", "b, R2, c", "c, R3, a", "d, R4, b", "d, R5, a")
    bridge = "[branches]\n" + "".join(f'I{n} = "{line}"\n' for n, line in enumerate(lines, 1))
    assert "begun anew" in begun_loop(bridge, ["I2", "I5"])["said"]
    assert begun_loop(bridge, ["I1", "I3"])["said"].startswith("Loop so far: −I1 − I3.")
    with pytest.raises(FaultyMaterial, match="no branch I9"):
        begun_loop(TEXT, ["I9"])


def test_the_second_beat_has_the_sections_of_the_instructors_sheet_without_inline_style() -> None:
    html = second(TEXT)["html"]
    titles = re.findall("<summary>(.*?)</summary>", html)
    assert {"Solution in symbols", "Results", "Limiting cases", "Ledger of checks"} <= set(titles)
    assert " style=" not in html
    assert second("[branches]\n")["html"] == ""


def test_the_derivation_shown_begins_with_ones_own_loops() -> None:
    own = edited(TEXT, {"do": "loops", "loops": ["Ic + Ib", "Ib - Ih"]})
    start = second(own)["html"].split("<summary>Solution in symbols")[0]
    assert "through ℰ1, R1, R2, ℰ2." in re.sub("<[^>]+>", "", start)
    usual = second(TEXT)["html"].split("<summary>Solution in symbols")[0]
    assert "through ℰ1, R1, R2, ℰ2." not in re.sub("<[^>]+>", "", usual)


def test_methods_stand_side_by_side_with_the_shortest_and_why() -> None:
    bare = side_by_side(TEXT)
    assert "Node potentials" in bare["html"].replace("node potentials", "Node potentials")
    assert "(shortest)" in bare["html"]
    assert "<h3>" not in bare["html"]
    two = side_by_side(TEXT, ["loop currents", "superposition", "determinants"])
    assert re.findall("<h3>(.*?)</h3>", two["html"]) == ["Determinants", "Loop currents"]
    assert len(re.findall(r'\bid="([^"]+)"', two["html"])) == len(
        set(re.findall(r'\bid="([^"]+)"', two["html"]))
    )
