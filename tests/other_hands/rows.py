"""Sets of equations in numbers, and how they are solved by hand: one put into another, or added.

Every line is worked from the rows as they stand on the sheet, so that a slip is carried on.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from math import gcd, lcm

from .ink import Num, Prod, Quot, Sum, Sym, Tree, plain, put_in, rounded, total
from .net import Unfit, straight
from .paper import Paper

Coefs = dict[str, Fraction]


@dataclass(frozen=True, slots=True)
class Row:
    """Coefficients times names come to a constant. `unit`: of its terms; `label`: its number on the sheet."""

    coefs: Coefs
    const: Fraction
    unit: str = ""
    label: str = ""


class Solver:
    """Solves rows on a sheet."""

    def __init__(self, paper: Paper, unknowns: Sequence[str]) -> None:
        self.paper, self.unknowns = paper, list(unknowns)
        self.rough = paper.rough

    # -- writing rows --------------------------------------------------------------------------

    def num(self, value: Fraction, unit: str = "") -> Num:
        """A coefficient: in full where that is short, else to the figures of the writer and one more."""
        shown = unit if self.paper.habits.units == "everywhere" else ""
        if abs(value) in self.rough:
            known = self.rough[abs(value)]
            return replace(known, value=value, text=("-" if value < 0 else "") + known.text, unit=shown)
        full = plain(value, shown)
        if full is not None and len(full.text.strip("-0.").replace(".", "")) <= 5:
            places = len(full.text.partition(".")[2])
            return replace(full, half=Fraction(1, 2 * 10**places)) if self.rough and places else full
        made = rounded(value, self.paper.habits.figures + 1, shown)
        self.rough[abs(made.value)] = replace(made, value=abs(made.value), text=made.text.lstrip("-"))
        return made

    def terms(self, coefs: Coefs, unit: str, sign: int = 1) -> list[tuple[int, Tree]]:
        """The terms with names."""
        made: list[tuple[int, Tree]] = []
        for name, coef in coefs.items():
            if not coef:
                continue
            size, way = abs(coef), sign if coef > 0 else -sign
            ohm = self.paper.ohm if unit == "V" and self.paper.unit[name] != "V" else ""
            made.append((way, Sym(name) if size == 1 and not ohm else Prod((self.num(size, ohm), Sym(name)))))
        return made

    def const(self, value: Fraction, unit: str) -> tuple[int, Tree]:
        """The constant as a term."""
        return (1 if value >= 0 else -1), self.num(abs(value), unit if value else "")

    def sides(self, row: Row) -> tuple[Tree, Tree]:
        """The row as an equation, in one of the layouts."""
        way = self.paper.rng.randrange(4)
        left, unit = self.terms(row.coefs, row.unit), row.unit
        if not left:
            raise Unfit("nothing left")
        sign, size = self.const(row.const, unit)
        if way == 0 and row.const:
            return Sum((self.const(row.const, unit), *self.terms(row.coefs, unit, -1))), Num(Fraction(0), "0")
        if way == 1 and row.const:
            return total((sign, size)), Sum(tuple(left))
        return Sum(tuple(left)), total((sign, size))

    def emit(self, row: Row, before: str = "", number: bool = True) -> Row:
        """Writes the row; as it is carried on."""
        label = self.paper.write(*self.sides(row), before=before, number=number)
        return replace(self._carried(row), label=label)

    def _carried(self, row: Row) -> Row:
        if self.paper.habits.held:
            return row
        made = Row(
            {k: self.num(v).value for k, v in row.coefs.items()},
            self.num(row.const).value,
            row.unit,
            row.label,
        )
        if made != row:
            self.paper.exact = False
        return made

    def marred(self, row: Row) -> Row:
        """The row with a slip of the reckoning in it, if one is made here."""
        slip = self.paper.hand.slips("digits", "copied-sign", "term-missing")
        if slip is None:
            return row
        dice = self.paper.hand.dice
        spots = [k for k, v in row.coefs.items() if v]
        spot = dice.choice([*spots, ""] if row.const else spots)
        value = row.coefs[spot] if spot else row.const
        if slip == "digits":
            step = Fraction(dice.choice((1, 2, 10, -1))) * (1 if abs(value) >= 1 else Fraction(1, 10))
            value = value + step
        elif slip == "copied-sign":
            value = -value
        else:
            if len(spots) < 2:
                raise Unfit("nothing would be left")
            value = Fraction(0)
        if spot:
            return replace(row, coefs={**row.coefs, spot: value})
        return replace(row, const=value)

    # -- solving -------------------------------------------------------------------------------

    def solve(self, rows: Sequence[Row], unit: str) -> None:
        """Solves the rows and gives every unknown its number."""
        way = self.paper.rng.choice(("put", "put", "add", "add", "calculator"))
        rows = [Row({k: v for k, v in r.coefs.items() if v}, r.const, r.unit, r.label) for r in rows]
        if way == "calculator" or len(self.unknowns) > 4:
            self._calculator(rows, unit)
        elif way == "put":
            self._put(rows, unit)
        else:
            self._add(rows, unit)

    def _calculator(self, rows: Sequence[Row], unit: str) -> None:
        paper = self.paper
        found = straight([[r.coefs.get(u, Fraction(0)) for u in self.unknowns] + [r.const] for r in rows])
        labels = [r.label for r in rows if r.label]
        words = ["The calculator gives", "Solved together:", "Solving the system:", "From the calculator:"]
        if len(labels) == len(rows) and len(rows) > 1:
            words.append(f"Solving {labels[0]} to {labels[-1]}:")
        paper.say(paper.rng.choice(words))
        for name, value in zip(self.unknowns, found, strict=True):
            slip = paper.hand.slips("digits", *(("minus-dropped",) if value < 0 else ()))
            num = paper.figure(abs(value) if slip == "minus-dropped" else value, unit, end=True)
            if slip == "digits":
                num = paper._marred(slip, num, unit)
            paper.write(Sym(name), num)
            paper.numbers[name] = num
            paper.held[name] = value if paper.habits.held and slip is None else num.value

    def _pick(self, rows: Sequence[Row]) -> tuple[int, str]:
        scored = []
        for k, row in enumerate(rows):
            for name, coef in row.coefs.items():
                others = sum(name in r.coefs for r in rows) - 1
                if others or len(rows) == 1:
                    scored.append(((len(row.coefs), abs(coef) != 1, others), k, name))
        if not scored:
            raise Unfit("singular")
        _, k, name = min(scored)
        return k, name

    def _put(self, rows: Sequence[Row], unit: str) -> None:
        paper, left = self.paper, list(rows)
        solved: list[tuple[str, Row]] = []
        while len(left) > 1:
            k, name = self._pick(left)
            row = left.pop(k)
            gives = self._for(row, name)
            solved.append((name, gives))
            left = [self._into(r, name, gives) if name in r.coefs else r for r in left]
        last = left[0]
        names = [n for n, c in last.coefs.items() if c]
        if len(names) != 1:
            raise Unfit("singular")
        self._last(names[0], last, unit)
        for name, gives in reversed(solved):
            if any(n not in paper.held for n in gives.coefs):
                raise Unfit("out of order")
            parts = self.terms(gives.coefs, "")
            formula = (
                Sum(((1 if gives.const >= 0 else -1, self.num(abs(gives.const))), *parts))
                if gives.const
                else total(*parts)
            )
            self._back(name, gives, formula, unit)

    def _last(self, name: str, row: Row, unit: str) -> None:
        """The last unknown: constant over coefficient."""
        paper, coef = self.paper, row.coefs[name]
        if coef == 1:
            paper.held[name] = row.const
            paper.numbers[name] = paper.figure(row.const, unit, end=True)
            paper.write(Sym(name), paper.numbers[name])
            return
        formula = Quot(self.num(row.const), self.num(coef))
        paper.result(name, formula, unit, bare=True, last=True, exact=row.const / coef)

    def _back(self, name: str, gives: Row, formula: Tree, unit: str) -> None:
        paper = self.paper
        shown = put_in(formula, paper.inner())
        exact = sum((c * paper.held[n] for n, c in gives.coefs.items()), gives.const)
        if paper.habits.form == "both" and paper.habits.chain:
            paper.result(name, formula, unit, last=True, bare=False, exact=exact)
        else:
            paper.result(name, shown, unit, last=True, bare=True, exact=exact)

    def _for(self, row: Row, name: str) -> Row:
        """Solves a row for one name, and writes it."""
        paper, coef = self.paper, row.coefs[name]
        rest = {n: -c for n, c in row.coefs.items() if n != name and c}
        top_const, top = row.const, rest
        slip = paper.hand.slips("moved-sign", "copied-sign")
        dice = paper.hand.dice
        if slip is not None:
            spot = dice.choice([*rest, ""] if row.const and slip == "copied-sign" else list(rest) or [""])
            if spot:
                top = {**rest, spot: -rest[spot]}
            else:
                top_const = -row.const
        made = {n: c / coef for n, c in top.items()}
        const = top_const / coef
        terms = ([self.const(top_const, "")] if top_const else []) + self.terms(top, "")
        if not terms:
            raise Unfit("nothing left")
        before = f"from {row.label}" + self._colon() if row.label and paper.habits.talk else ""
        simple = ([self.const(const, "")] if const else []) + self.terms(made, "")
        if coef in (1, -1):
            label = paper.write(Sym(name), Sum(tuple(simple)), before=before, number=True)
        else:
            quotient = Quot(Sum(tuple(terms)), self.num(coef))
            if paper.rng.random() < 0.5:
                label = paper.write(Sym(name), quotient, before=before, number=True)
            elif paper.habits.chain:
                label = paper.write(Sym(name), quotient, Sum(tuple(simple)), before=before, number=True)
            else:
                label = paper.write(Sym(name), Sum(tuple(simple)), before=before, number=True)
        return self._carried(Row(made, const, "", label))

    def _colon(self) -> str:
        return self.paper.rng.choice((": ", ": ", ", "))

    def _into(self, row: Row, name: str, gives: Row) -> Row:
        """Puts what stands for a name into another row."""
        paper, coef = self.paper, row.coefs[name]
        others = {n: c for n, c in row.coefs.items() if n != name}
        inner = Sum(
            tuple(([self.const(gives.const, "")] if gives.const else []) + self.terms(gives.coefs, ""))
        )
        before = ""
        if paper.habits.talk and gives.label and row.label:
            before = paper.rng.choice(
                (
                    f"sub into {row.label}: ",
                    f"{gives.label} in {row.label}: ",
                    f"put {gives.label} into {row.label}: ",
                )
            )
        size = abs(coef)
        bracket: Tree = Prod((self.num(size), inner)) if size != 1 else inner
        if paper.rng.random() < 0.7:
            left = [*self.terms(others, ""), (1 if coef > 0 else -1, bracket)]
            paper.write(Sum(tuple(left)), total(self.const(row.const, "")), before=before)
            before = ""
        inside = {n: coef * c for n, c in gives.coefs.items()}
        const = row.const - coef * gives.const
        slip = paper.hand.slips(
            "bracket-lost", *(("minus-bracket",) if coef < 0 and len(inner.terms) > 1 else ())
        )
        if slip == "bracket-lost":
            if size == 1 or not gives.const or not gives.coefs:
                raise Unfit("no bracket to lose")
            inside = {n: c * (1 if coef > 0 else -1) for n, c in gives.coefs.items()}
        elif slip == "minus-bracket":
            if not gives.const or not gives.coefs:
                raise Unfit("one term alone")
            inside = {n: -coef * c for n, c in gives.coefs.items()}
        coefs = dict(others)
        for n, c in inside.items():
            coefs[n] = coefs.get(n, Fraction(0)) + c
        coefs = {n: c for n, c in coefs.items() if c}
        made = self.marred(Row(coefs, const, row.unit))
        return self.emit(made, before)

    def _add(self, rows: Sequence[Row], unit: str) -> None:
        """Eliminates by adding and subtracting whole rows, then puts back."""
        left, kept = list(rows), []
        while len(left) > 1:
            k, name = self._pick(left)
            pivot = left.pop(k)
            kept.append((name, pivot))
            left = [self._combined(pivot, r, name) if name in r.coefs else r for r in left]
        names = [n for n, c in left[0].coefs.items() if c]
        if len(names) != 1:
            raise Unfit("singular")
        self._last(names[0], left[0], unit)
        for name, row in reversed(kept):
            self._back_in_row(name, row, unit)

    def _combined(self, pivot: Row, row: Row, name: str) -> Row:
        paper, a, b = self.paper, pivot.coefs[name], row.coefs[name]
        m, n = _whole(abs(b), abs(a))
        (first, one), (second, other) = self._scaled(pivot, m), self._scaled(row, n)
        same = (a > 0) == (b > 0)
        slip = paper.hand.slips("added-for-subtracted")
        minus = same if slip is None else not same
        sign = -1 if minus else 1
        coefs = dict(second.coefs)
        for key, value in first.coefs.items():
            coefs[key] = coefs.get(key, Fraction(0)) + sign * value
        coefs = {k: v for k, v in coefs.items() if v}
        const = second.const + sign * first.const
        before = ""
        if one and other and paper.rng.random() < 0.8:
            before = f"{other} {'-' if same else '+'} {one}: "
        made = self.marred(Row(coefs, const, row.unit))
        return self.emit(made, before)

    def _scaled(self, row: Row, factor: Fraction) -> tuple[Row, str]:
        """A row times a number, and how it is spoken of; written out at times, under a number of its own."""
        coefs, const = {k: v * factor for k, v in row.coefs.items()}, row.const * factor
        spoken = self._many(factor, row.label) if row.label else ""
        if factor == 1 or self.paper.rng.random() < 0.5:
            return Row(coefs, const, row.unit), spoken
        slip = self.paper.hand.slips("one-term-multiplied")
        if slip:
            spot = self.paper.hand.dice.choice([*coefs, ""] if const else list(coefs))
            if spot:
                coefs[spot] /= factor
            else:
                const /= factor
        made = self.emit(Row(coefs, const, row.unit), f"{spoken}: " if spoken else "")
        return made, made.label

    def _many(self, factor: Fraction, label: str) -> str:
        """How many times a numbered line, in words and signs."""
        if factor == 1:
            return label
        dot = {"latex": "\\cdot", "unicode": "·", "plain": "*"}[self.paper.habits.pen.kind]
        if self.paper.habits.pen.kind == "latex":
            dot = "times"
        return f"{self.paper.habits.pen.number(self.num(factor))} {dot} {label}"

    def _back_in_row(self, name: str, row: Row, unit: str) -> None:
        """Puts the numbers found into a row and solves it for the one name left."""
        paper, coef = self.paper, row.coefs[name]
        others = [(n, c) for n, c in row.coefs.items() if n != name]
        if any(n not in paper.numbers for n, _ in others):
            raise Unfit("out of order")
        put: list[tuple[int, Tree]] = [
            (1 if c > 0 else -1, self._times(abs(c), paper.inner()[n])) for n, c in others
        ]
        if paper.rng.random() < 0.5 and others:
            before = f"in {row.label}: " if row.label and paper.habits.talk else ""
            terms = [*self.terms({name: coef}, ""), *put]
            paper.write(Sum(tuple(terms)), total(self.const(row.const, "")), before=before)
        slip = paper.hand.slips("moved-sign") if others else None
        if slip:
            spot = paper.hand.dice.randrange(len(others))
            put = [(-s if k == spot else s, t) for k, (s, t) in enumerate(put)]
            others = [(n, -c if k == spot else c) for k, (n, c) in enumerate(others)]
        top = ([self.const(row.const, "")] if row.const else []) + [(-s, t) for s, t in put]
        over: Tree = Sum(tuple(top))
        formula = over if coef == 1 else Quot(over, self.num(coef))
        total_of = sum((c * paper.held[n] for n, c in others), Fraction(0))
        paper.result(name, formula, unit, bare=True, last=True, exact=(row.const - total_of) / coef)

    def _times(self, size: Fraction, num: Num) -> Tree:
        return num if size == 1 else Prod((self.num(size), num))


def _whole(a: Fraction, b: Fraction) -> tuple[Fraction, Fraction]:
    """The smallest whole numbers in the ratio a to b, where they are short; else a and b."""
    scale = lcm(a.denominator, b.denominator)
    m, n = int(a * scale), int(b * scale)
    common = gcd(m, n)
    m, n = m // common, n // common
    return (Fraction(m), Fraction(n)) if max(m, n) <= 400 else (a, b)
