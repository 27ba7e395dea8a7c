"""What callers from outside have is what plan, book and audit call: the same functions, with units about them."""

from __future__ import annotations

import ast
from pathlib import Path
from typing import Any

import pytest
from pint.facets.plain import PlainQuantity

import sheetgen
from sheetgen import trade
from sheetgen.quantities import quantity_in
from sheetgen.trade.with_units import Declared
from sheetgen.units import units
from tests.trade.calls import CALLS, Call

PACKAGE = Path(sheetgen.__file__).parent
# Wanted by no command yet: a meter's check, nozzles of several rates across the lane, parts of emulsion and water as
# people say them, the room that a load heated later needs.
_BY_NOBODY_YET = {
    "average_rate", "dilution_of", "expansion_room", "fill_before_heating", "meter_error", "nozzle_flow",
    "passes_needed",
}  # fmt: skip
# The rate over an area of length and width, the joint of passes that are alike, the pay terms with their usual values.
_PUT_TOGETHER = {"application_rate", "pass_overlap", "pay_quantity"}
_MODULES = {path.stem for path in (PACKAGE / "trade").glob("*.py")}
_WRAPPED = sorted(name for name in trade.__all__ if hasattr(getattr(trade, name), "__wrapped__"))


def _called_by_the_package() -> set[str]:
    """Names that modules outside of ``trade``, or others of it, import from its modules or call there."""
    used: set[str] = set()
    for path in PACKAGE.rglob("*.py"):
        if path.name in ("public.py", "with_units.py", "tank_with_units.py"):
            continue
        tree = ast.parse(path.read_text(encoding="utf-8"))
        for node in ast.walk(tree):
            if isinstance(node, ast.ImportFrom) and (node.module or "").startswith("sheetgen.trade"):
                used |= {alias.name for alias in node.names}
            if isinstance(node, ast.Call):
                used.add(getattr(node.func, "id", ""))
            if isinstance(node, ast.Attribute) and getattr(node.value, "id", "") in _MODULES:
                used.add(node.attr)
    return used


def test_every_function_of_the_arithmetic_is_called_by_the_package() -> None:
    assert set(_WRAPPED) - _called_by_the_package() == _BY_NOBODY_YET | _PUT_TOGETHER


def _plain(call: Call, name: str, value: Any) -> Any:
    """The number of a quantity in the inch-pound unit of its kind."""
    if not isinstance(value, PlainQuantity):
        return value
    kinds = Declared.by(_hints(call)[name]).kinds
    kind = next(each for each in kinds if value.is_compatible_with(units("us")[each.of].name))
    return value.to(units("us")[kind.of].name).magnitude


def _hints(call: Call) -> dict[str, Any]:
    from typing import get_type_hints

    return get_type_hints(call.function.__wrapped__, include_extras=True)


@pytest.mark.parametrize(
    "call", [call for call in CALLS if hasattr(call.function, "__wrapped__")], ids=lambda call: call.name
)
def test_the_face_with_units_gives_what_the_function_gives(call: Call) -> None:
    numbers = {name: _plain(call, name, value) for name, value in call.given.items()}
    fixed = {"system": "us"} if "system" in _hints(call) else {}
    ours, face = call.function.__wrapped__(**numbers, **fixed), call()
    if isinstance(face, PlainQuantity):
        assert face == quantity_in(ours, str(face.units))
    elif not hasattr(face, "__dataclass_fields__"):
        assert face == ours
    else:
        for name in face.__dataclass_fields__:
            part = getattr(face, name)
            assert getattr(part, "magnitude", part) == getattr(ours, name)
