"""Every slip of the catalogue that can be worked out for a whole circuit: what is written, what it gives.

`slip_models` lists the slips, each made in each place where the circuit lets it be made; `NOT_MODELLED`
says of the others why no numbers of a circuit come of them. One slip at a time: two at once are not
looked at.
"""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

from ..circuit.circuit import Circuit
from ..circuit.diagnose import diagnose
from ..errors import FaultyMaterial
from ..findings import Finding, Severity
from .catalogue import CATALOGUE, Group
from .models_of_algebra import algebra_slips
from .models_of_ideas import idea_slips
from .models_of_results import result_slips
from .models_of_signs import sign_slips
from .models_of_system import system_slips
from .settings import Model, Setting, SettingInNumbers

_IN_TIME = "it is modelled for circuits in time, not among the wrong answers of a steady one"
_AT_REST = "no number of a circuit in time comes of it alone"
_OF_TIME = {
    entry.key: _AT_REST
    if entry.key in ("between-capacitors", "heat-by-resistance", "second-stage", "cut-off")
    else _IN_TIME
    for entry in CATALOGUE.values()
    if entry.group is Group.TIME
}

NOT_MODELLED: Mapping[str, str] = MappingProxyType(
    {
        "bypass-missed": "what current the bypassed element is given is not fixed by the slip",
        "shorted-source": "a battery with a wire across it has no answer, and such a circuit is refused",
        "battery-fixed-current": "it speaks of a change: one set of numbers does not show it",
        "local-reasoning": "it speaks of a change: one set of numbers does not show it",
        "sequential-reasoning": "it speaks of a change: one set of numbers does not show it",
        "brightness-by-one": "it ranks lamps and gives no number",
        "circular": "it stalls at 0 = 0 and gives no number",
        "divided-by-zero": "it loses a case that these numbers are not in",
        "unit-missing": "the number stays right; it is told when numbers are decoded",
        "figures": "the number stays right",
        "early-rounding": "the number depends on every line on the way; what is nearly right is told as such",
        "tolerance": "it gives a width and not a current",
        "ohmmeter-connected": "it gives a resistance and not a current",
        "capacitor-always": _IN_TIME,
        "nearest-resistance": _IN_TIME,
        "wrong-continuous": _IN_TIME,
        "term-extra": "which term is too many is not fixed by the slip",
        "factor-extra": "which factor is too many is not fixed by the slip",
        "wrong-divisor": "by what it is divided is not fixed by the slip",
        "limit-misread": "it speaks of a limiting case and not of these numbers",
        **_OF_TIME,
    }
)


def point_of(setting: Setting) -> SettingInNumbers:
    """The point of the circuit's own numbers. Raises FaultyMaterial where some are missing, and where
    the circuit has no single answer."""
    circuit = setting.circuit
    if faults := [fault for fault in diagnose(circuit) if fault.severity is Severity.ERROR]:
        raise FaultyMaterial(*faults)
    refuse_without_numbers(circuit)
    return SettingInNumbers(setting, {name: circuit.numbers[name] for name in circuit.symbols})


def refuse_without_numbers(circuit: Circuit) -> None:
    """Raises FaultyMaterial where a symbol of the circuit has no number."""
    missing = [name for name in circuit.symbols if name not in circuit.numbers]
    if missing:
        raise FaultyMaterial(
            Finding(
                "slips/numbers-missing",
                f"Wrong answers are numbers, and the problem gives none for {', '.join(missing)}.",
                f"Add them under [numbers], such as {missing[0]} = "
                f'"{"12 V" if missing[0].startswith(("E", "V")) else "6 ohm"}".',
                about=tuple(missing),
            )
        )


def slip_models(setting: Setting) -> tuple[Model, ...]:
    """Every slip that can be made in the setting, in the order of the catalogue's groups.

    The circuit must have numbers: which currents are negative and which battery is the stronger decides
    what slips there are. Raises FaultyMaterial where numbers are missing.
    """
    here = point_of(setting)
    return (
        *sign_slips(setting, here),
        *system_slips(setting, here),
        *idea_slips(setting, here),
        *algebra_slips(setting),
        *result_slips(setting),
    )
