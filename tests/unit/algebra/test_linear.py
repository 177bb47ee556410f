"""Linear equations in unknowns: one got rid of, what is linear, what follows from what."""

from loopwright.algebra.linear import Linear, echelon, follows, linear_in
from loopwright.algebra.ratios import Field

FIELD = Field(("E", "R1", "R2", "I1", "I2"))
E, R1, R2, I1, I2 = (FIELD.symbol(name) for name in FIELD.symbols)
CURRENTS = ("I1", "I2")


def line(first: object, second: object, constant: object) -> Linear:
    """The equation first × I1 + second × I2 + constant = 0."""
    parts = [FIELD.zero + part for part in (first, second, constant)]  # type: ignore[operator]
    return Linear.of({"I1": parts[0], "I2": parts[1]}, parts[2])


def test_getting_rid_of_an_unknown_leaves_no_fraction_and_no_common_factor() -> None:
    one, other = line(R1, 2 * R2, -E), line(-2 * R1, 4 * R1, E)
    left = one.without("I1", other)
    assert left == Linear({"I2": 4 * R2 + 4 * R1}, -E)


def test_getting_rid_of_an_unknown_is_putting_in_what_it_equals() -> None:
    one, other = line(R1 + R2, R2, -E), line(R2, R1, E / R1)
    put, left = one.put("I1", other.solved_for("I1")), one.without("I1", other)
    scale = left.constant / put.constant
    assert (put * scale).coefficients == left.coefficients


def test_a_product_of_unknowns_is_not_linear() -> None:
    assert linear_in(I1 * I2 * R1 - E, CURRENTS) is None
    assert linear_in(I1 * I1 - E, CURRENTS) is None
    assert linear_in(I1 * R1 + I2 * R2 - E, CURRENTS) == line(R1, R2, -E)


def test_only_combinations_follow() -> None:
    one, other = line(R1, R2, -E), line(1, -1, 0)
    steps = echelon([one, other], CURRENTS)
    assert follows(one * R2 + other * (E / R1), steps)
    assert not follows(one, echelon([other], CURRENTS))
    assert not follows(line(R1, R2, E), echelon([one], CURRENTS))
