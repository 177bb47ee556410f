"""Each check of maps fails when what it is about is made wrong."""

from __future__ import annotations

from dataclasses import replace

import pytest

from loopwright.plots.maps import MapBoundary, MapRegion, SignMap
from loopwright.plots.verify_maps import map_entries
from loopwright.solve.exact import solve
from tests.unit.plots.test_sign_map import MAPS, mapped

TRUE = mapped("sign of Ib over R1, Rh").found


def failed(found: SignMap) -> list[str]:
    return [e.code for e in map_entries(solve(found.circuit), [found]) if e.passed is False]


@pytest.mark.parametrize(("quantity", "one", "other"), MAPS, ids=[" ".join(m) for m in MAPS])
def test_true_maps_pass_every_check(quantity: str, one: str, other: str) -> None:
    assert not failed(mapped(f"sign of {quantity} over {one}, {other}").found)


def test_a_region_with_the_wrong_sign_is_caught() -> None:
    turned = tuple(MapRegion(-region.sign, region.inside) for region in TRUE.regions)
    assert failed(replace(TRUE, regions=turned)) == ["plots/regions"]


def test_a_boundary_that_is_moved_is_caught() -> None:
    moved = TRUE.boundaries[0].polynomial + 9 * TRUE.form.field.symbol("R1")
    assert "plots/boundaries" in failed(replace(TRUE, boundaries=(MapBoundary(moved, False),)))


def test_a_boundary_that_is_missing_is_caught() -> None:
    whole = replace(TRUE, boundaries=(), cells={(0, 0): 0}, regions=TRUE.regions[:1])
    assert "plots/regions" in failed(whole)


def test_another_form_is_caught() -> None:
    assert "plots/boundaries" in failed(replace(TRUE, form=TRUE.form * 2))
