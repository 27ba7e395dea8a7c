"""What practice adds to a plan: how long to wait, and which rate leaves the residue of a cutback that is replaced."""

from __future__ import annotations

from collections.abc import Sequence

from sheetgen import templates
from sheetgen.order.model import Order
from sheetgen.plan.model import Notice, Ordered, Replaced, Wait
from sheetgen.trade.basis import mix_rate, residual_rate, same_residual
from sheetgen.trade.limits import limit

_PLACES = 9  # of a relative difference before it is compared
_SOURCE = "Minnesota Seal Coat Handbook ch. 4"


def waits_of(order: Order) -> tuple[Wait, ...]:
    """What is published of waiting for each work of the order and its class of material."""
    found = []
    for row in templates.for_class("waiting", order.material.material_class):
        sections = tuple(section.id for section in order.sections if section.work == row["work"])
        if sections:
            seen = "seen" if row["provenance"] == "seen" else "memory"
            found.append(Wait(sections, row["key"], seen, templates.source(row, order.language)))
    return tuple(found)


def cover_minutes(material_class: str) -> float:
    """The [time] within which the binder of a chip seal is to be covered (UFGS 02785 p. 17, seen)."""
    key = "cutback_uncovered" if material_class == "cutback" else "binder_uncovered"
    return (limit(key).high or 0.0) / 60


def replaced_of(order: Order, sections: Sequence[Ordered]) -> Replaced | None:
    """The rate that leaves the residue of the cutback; None where the order replaces none."""
    rate, residue = order.planning.replaced_rate, order.planning.replaced_residue
    if rate is None or residue is None:
        return None
    material = order.material
    undiluted = same_residual(rate, residue, material.residue)
    return Replaced(
        rate=rate,
        residue=residue,
        residual=residual_rate(rate, residue, 1.0),
        undiluted=undiluted,
        bar=mix_rate(undiluted, "undiluted", material.residue, material.dilution),
        ordered=tuple((section.id, section.undiluted) for section in sections),
    )


def notices_of_replaced(replaced: Replaced, sections: Sequence[Ordered]) -> tuple[Notice, ...]:
    """The rate with its arithmetic, and each section whose ordered rate leaves another residue than its tolerance."""
    values = (
        ("cutback", replaced.rate, "rate"),
        ("residue", replaced.residue, "percent"),
        ("residual", replaced.residual, "rate"),
        ("undiluted", replaced.undiluted, "rate"),
        ("bar", replaced.bar, "rate"),
    )
    found = [Notice("replaced", values=values, source=_SOURCE)]
    for section in sections:
        difference = section.undiluted / replaced.undiluted - 1
        if round(abs(difference) - section.allowed, _PLACES) > 0:
            facts = (
                ("ordered", section.undiluted, "rate"),
                ("undiluted", replaced.undiluted, "rate"),
                ("difference", difference, "percent"),
            )
            found.append(Notice("replaced-differs", section.id, facts, _SOURCE))
    return tuple(found)
