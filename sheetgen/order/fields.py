"""The fields of the order workbook, as ``templates_src/order.toml`` lists them."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from typing import Any

from sheetgen import templates
from sheetgen.templates import Texts
from sheetgen.units import units

# The sheets that carry entries, each with a list of fields; "points" has its own layout.
FORMS = ("job", "material", "planning")
SHEETS = ("job", "material", "machines", "points", "functions", "sections", "planning")
ADDED_SHEETS = ("functions",)  # missing from older order workbooks


@dataclass(frozen=True, slots=True)
class Field:
    """One thing that the office fills in.

    Attributes:
        sheet: key of its sheet
        path: its place in the order, in one distributor or in one section, such as ``"tank.height"``
        kind: how an entry is read: text, number, integer, percent, tolerance, station, date, choice, yes-no,
            numbers, words, codes, distributor
        group: the heading it stands under, empty on the sheet of sections
        unit: a kind of quantity, empty where there is none
        unit_text: key of a text that stands in place of a unit
        choice: key of its drop-down
        default: what stands in a blank order
        above, least, most: limits that the cell refuses to cross; ``most`` of a text is its length
        plausible: between which numbers an entry is believed without asking
        until: the last day on which a certificate or a calibration holds
        added: older order workbooks lack its line or column and are blank there
    """

    sheet: str
    path: str
    kind: str
    group: str = ""
    required: bool = False
    unit: str = ""
    unit_text: str = ""
    choice: str = ""
    default: Any = None
    above: float | None = None
    least: float | None = None
    most: float | None = None
    plausible: tuple[float, float] | None = None
    until: bool = False
    suggest: str = ""
    width: float = 12
    added: bool = False

    @property
    def name(self) -> str:
        """The name of its cell in formulas."""
        return self.path.replace(".", "_")

    def label(self, say: Texts) -> str:
        """What the field is called."""
        return say[f"order.field.{self.sheet}.{self.path}.label"]

    def note(self, say: Texts, system: str) -> str:
        """What it means and how to type it, in the words of a unit system."""
        return say.own(f"order.field.{self.sheet}.{self.path}.note", system)


# By what name an order picks a material of the yard.
MATERIAL_NAME = Field("material", "name", "text", required=True, most=60)
# The columns of the function tables; the last one is repeated for each numbered valve.
FUNCTION_MACHINE = Field("functions", "machine", "text", required=True, most=60, suggest="machine_names")
FUNCTION_NAME = Field("functions", "name", "text", required=True, most=60)
FUNCTION_VALVE = Field("functions", "valve", "choice", choice="valve")


def unit_label(facts: Field | Mapping[str, Any], system: str, say: Texts) -> str:
    """The unit printed beside a field or a result; empty where there is none."""
    if isinstance(facts, Field):
        kind, text = facts.unit, facts.unit_text or {"percent": "percent"}.get(facts.kind, "")
    else:
        kind, text = facts.get("unit", ""), facts.get("unit_text", "")
    if kind:
        return units(system)[kind].label(say.language)
    if not text:
        return ""
    return say.own(f"order.unit.{text}", system)


@cache
def layout() -> dict[str, Any]:
    """Everything that ``order.toml`` says."""
    return templates.toml("order.toml")


@cache
def fields(sheet: str, system: str) -> tuple[Field, ...]:
    """The fields of a sheet in the order they stand on it, with the defaults of a unit system."""
    data = layout()[sheet]
    if "group" in data:
        return tuple(
            _field(facts, sheet, system, group["key"]) for group in data["group"] for facts in group["fields"]
        )
    return tuple(_field(facts, sheet, system, "") for facts in data["fields"])


def _field(facts: Mapping[str, Any], sheet: str, system: str, group: str) -> Field:
    own = {
        key: value[system] if isinstance(value, dict) and system in value else value
        for key, value in facts.items()
    }
    if "plausible" in own:
        own["plausible"] = tuple(own["plausible"])
    return Field(sheet=sheet, group=group, **own)


def words(choice: str, say: Texts) -> dict[str, str]:
    """The words of a drop-down by the value that each stands for."""
    facts = layout()["choices"][choice]
    return {value: say[f"{facts['words']}.{value}"] for value in facts["values"]}


def offered(choice: str, say: Texts, system: str) -> list[str]:
    """The words that a drop-down offers in a unit system."""
    values = layout()["choices"][choice].get(f"offered_{system}")
    return [word for value, word in words(choice, say).items() if values is None or value in values]
