"""Every rule of the order's model that an order breaks, each blamed on the cell it concerns.

A rule between fields can only be tried when the fields themselves are sound. So that all mistakes come out at
once, values of the demonstration order stand in for what is missing or wrong, and what a rule says about a
stand-in is not reported.
"""

from __future__ import annotations

from copy import deepcopy
from itertools import count
from typing import Any

from pydantic import ValidationError
from pydantic_core import ErrorDetails

from sheetgen.order.demo import demo_order
from sheetgen.order.fields import layout
from sheetgen.order.filled import Filled, Loc, Spot, nearest
from sheetgen.order.model import Order

_ROUNDS = 2_000  # more than there are fields in the largest order: each round mends at least one
_LISTS = ("machines", "sections")


def settle(filled: Filled) -> Order | None:
    """The order, or None after noting every rule that it breaks in ``filled``."""
    stand_ins = _StandIns(deepcopy(filled.data), _example(filled.file.system, filled.file.language))
    stand_ins.put_all(sorted(filled.faulty, key=len, reverse=True))
    for _round in range(_ROUNDS):
        try:
            order = Order.model_validate(stand_ins.data)
        except ValidationError as error:
            wrong = _inmost(error.errors(include_url=False))
            stand_ins.put_all([loc for each in wrong for loc in _note(filled, each, stand_ins)])
        else:
            return None if filled.mistakes else order
    raise AssertionError("stand-ins do not make an order whole")


def _example(system: str, language: str) -> dict[str, Any]:
    """The demonstration order with a seal design: something of everything that an order can have."""
    example = demo_order(system, language).model_dump()
    example["planning"]["seal_design"] = layout()["stand_ins"][system]["seal_design"]
    return example


def _inmost(errors: list[ErrorDetails]) -> list[ErrorDetails]:
    """Without those that only say that a list has lost the items that have errors of their own."""
    locs = [tuple(each["loc"]) for each in errors]
    return [
        each
        for each, loc in zip(errors, locs, strict=True)
        if not any(other != loc and other[: len(loc)] == loc for other in locs)
    ]


def _note(filled: Filled, error: ErrorDetails, stand_ins: _StandIns) -> list[Loc]:
    """Note one broken rule; gives the places that need a stand-in for the next round."""
    loc: Loc = tuple(error["loc"])
    context = error.get("ctx", {})
    if error["type"] == "named-twice":
        return _note_names(filled, context["fields"], stand_ins)
    mended = [_at(loc, name) for name in context.get("fields", ())] or [loc]
    touched = mended + [_at(loc, name) for name in context.get("beside", ())]
    if not any(stand_ins.covers(each) for each in touched):
        for each in mended:
            _blame(filled, each, error)
    if all(stand_ins.covers(each) for each in touched):
        touched.append(_around(touched[0]))
    return touched


def _at(loc: Loc, place: str | tuple[str | int, ...]) -> Loc:
    """The place of a field that a rule of the model at ``loc`` names, by its name or by the steps to it."""
    return (*loc, place) if isinstance(place, str) else (*loc, *place)


def _around(loc: Loc) -> Loc:
    """The distributor, section or part of the order that a place belongs to."""
    return loc[:2] if loc[0] in _LISTS else loc[:1]


def _blame(filled: Filled, loc: Loc, error: ErrorDetails) -> None:
    spot = nearest(filled.spots, loc)
    if spot is None:
        raise AssertionError(f"the order's {loc} stands on no sheet")
    kind, context = error["type"], dict(error.get("ctx", {}))
    kind = "blank" if kind == "missing" else kind
    known = f"order.mistake.{kind}.expected" in filled.file.say
    facts = {key: _limit(spot, value) for key, value in context.items() if isinstance(value, (int, float))}
    filled.blame(spot, kind if known else "other", reason=error["msg"], **facts)


def _limit(spot: Spot, value: float) -> str:
    percent = spot.field is not None and spot.field.kind in ("percent", "tolerance")
    return f"{100 * value:.10g} %" if percent else f"{value:.10g}"


def _note_names(filled: Filled, names: tuple[str, ...], stand_ins: _StandIns) -> list[Loc]:
    """Each place where a name stands that was used before."""
    key, *twice = (name.casefold() for name in names)
    field = "id" if key == "sections" else "name"
    seen: set[str] = set()
    repeated: list[Loc] = []
    for index, item in enumerate(stand_ins.data[key]):
        name = str(item[field]).strip().casefold()  # as the model compares them
        loc: Loc = (key, index, field)
        if name in twice and name in seen:
            if not stand_ins.covers(loc):
                filled.blame(filled.spots[loc], "named-twice")
            repeated.append(loc)
        seen.add(name)
    return repeated


def _whole(loc: Loc) -> Loc:
    """A place without what is inside a cell's list or a certificate: such things are replaced together."""
    for name in ("points", "functions", "lanes", "bar_widths", "replaces"):
        if name in loc:
            return loc[: loc.index(name) + 1]
    return loc


class _StandIns:
    """Values of an example put into the data in place of what is missing or wrong."""

    def __init__(self, data: dict[str, Any], example: dict[str, Any]) -> None:
        self.data, self._example = data, example
        self._places: set[Loc] = set()

    def covers(self, loc: Loc) -> bool:
        """Whether a place, or something around it, has a stand-in."""
        return any(loc[:end] in self._places for end in range(1, len(loc) + 1))

    def put_all(self, locs: list[Loc]) -> None:
        """Put the example's values at several places."""
        for loc in locs:
            self.put(loc)

    def put(self, loc: Loc) -> None:
        """Put the example's value at a place; the names of sections and distributors stay apart."""
        if -1 in loc:  # the line or column of this field is missing on the whole sheet
            for index in range(len(self.data[str(loc[0])])):
                self.put((loc[0], index, *str(loc[2]).split(".")))
            return
        loc = _whole(loc)
        self._places.add(loc)
        value = deepcopy(self._of_example(loc))
        if loc[0] in _LISTS and len(loc) == 2:
            value["id" if loc[0] == "sections" else "name"] = self._unused(loc)
        if loc[0] in _LISTS and loc[2:] in (("id",), ("name",)):
            value = self._unused(loc)
        self._set(loc, value)

    def _unused(self, loc: Loc) -> str:
        """A name that no other section or distributor has."""
        taken = {str(value) for item in self.data[str(loc[0])] for value in item.values()}
        return next(name for number in count() if (name := f"Q{number}") not in taken)

    def _of_example(self, loc: Loc) -> Any:
        if "points" in loc:
            return [{"depth": 0, "volume": 0}, {"depth": 1, "volume": 1}]
        value: Any = self._example
        for step in loc:
            value = value[0] if isinstance(step, int) and isinstance(value, (list, tuple)) else value[step]
        return value

    def _set(self, loc: Loc, value: Any) -> None:
        target: Any = self.data
        for step in loc[:-1]:
            target = target.setdefault(step, {}) if isinstance(target, dict) else target[step]
        target[loc[-1]] = value
