"""What of the order's pay rule a book shows, and which formulas stand for it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import fields
from typing import Any

from sheetgen.order.model import Order
from sheetgen.order.pay_terms import paid_kind, pay_decimals, pay_terms
from sheetgen.trade.pay import PayTerms


def rule_has(order: Order) -> frozenset[str]:
    """Give the words by which ``sheets/totals.toml`` asks what an order's pay rule has."""
    terms = pay_terms(order)
    said = {
        paid_kind(order): True,
        "ticket": order.pay.unit == "mass-by-ticket",
        "price": terms.unit_price is not None,
        "overrun": terms.overrun_limit is not None,
        "underrun": terms.underrun_limit is not None,
        "ending": terms.underrun_share is not None or terms.underrun_price is not None,
        "repriced": terms.underrun_price is not None,
    }
    return frozenset(key for key, holds in said.items() if holds)


def by_rule(spec: Mapping[str, Any], order: Order) -> dict[str, Any]:
    """Give a field or a column with the formula that an order's pay rule asks for, of the cells of its unit of pay."""
    has, kind = rule_has(order), paid_kind(order)
    formula = next((each for key, each in spec.get("instead", {}).items() if key in has), spec["formula"])
    names = {"paid": "total_payable" if kind == "volume" else f"total_paid_{kind}"}
    names |= {key: f"total_{key}_{kind}" for key in ("beyond", "short")}
    for name, cell in names.items():
        formula = formula.replace(f"{{{name}}}", f"{{{cell}}}")
    return {**spec, "formula": formula}


def paid_facts(order: Order) -> dict[str, Any]:
    """Give what the job sheet shows of unit of pay, prices and the contract's quantity; None for what is not there."""
    terms, kind = pay_terms(order), paid_kind(order)
    asked = {each.name: getattr(terms, each.name) for each in fields(PayTerms)}
    priced, limited = terms.unit_price is not None, terms.estimate is not None
    if terms.overrun_limit is not None and terms.overrun_price is None:
        asked["overrun_price"] = terms.unit_price
    shown = kind != "volume" or priced or limited
    return asked | {
        "unit": order.pay.unit if shown else None,
        "decimals": pay_decimals(order) if shown else None,
        "money_decimals": terms.money_decimals if priced else None,
        **{
            f"estimate_{each}": terms.estimate if each == kind else None
            for each in ("volume", "mass", "area")
        },
    }
