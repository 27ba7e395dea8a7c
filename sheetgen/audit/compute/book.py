"""Every shot, load, day, section and total computed again, from the entries alone.

Nothing of the book's formulas or cached values is used: the arithmetic is that of :mod:`sheetgen.trade`, the
rounding that which the order states. What an entry is missing for stays None; no value is guessed.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from functools import cached_property
from typing import Any

from sheetgen.audit.compute.calibration import Calibration, compute_calibration
from sheetgen.audit.compute.changes import ChangeRow, compute_changes
from sheetgen.audit.compute.days import DayRow, compute_days
from sheetgen.audit.compute.factors import Factors
from sheetgen.audit.compute.gauges import GaugeRow, SessionRow, compute_gauges, compute_monitor
from sheetgen.audit.compute.loads import LoadRow, came_in, compute_loads
from sheetgen.audit.compute.pay import PaidRow, SectionRow, compute_sections, totals_of
from sheetgen.audit.compute.shots import ShotRow, compute_shots
from sheetgen.audit.entries.logs import Logs
from sheetgen.audit.model import Entry, Totals
from sheetgen.order.model import Machine, Order
from sheetgen.order.pay_terms import PaidKind, paid_kind
from sheetgen.order.tank import chart_of
from sheetgen.trade.chart import Chart
from sheetgen.xlsx.returned import Value


@dataclass(frozen=True)
class Computation:
    """The recomputed rows of a book, one for each used row of its logs and each section of its order.

    Attributes:
        logs: what was read
        chart: the distributor's tank chart
        factors: the correction column of the order's material
        shot_rows, load_rows, day_rows, section_rows: results with the keys of the book's own columns
        totals: of the whole book, by section and by day (by ISO date)
        calibration: what pads and cans show
        monitor_rows, gauge_rows: the monitor's readings against the others, and the checks of the gauges
        change_rows: the changes on the road
        paid_rows: the sections in the unit of pay, where that is not a volume
        kind: of quantity that is paid
    """

    logs: Logs
    chart: Chart
    factors: Factors
    shot_rows: tuple[ShotRow, ...]
    load_rows: tuple[LoadRow, ...]
    day_rows: tuple[DayRow, ...]
    section_rows: tuple[SectionRow, ...]
    totals: Totals
    calibration: Calibration
    monitor_rows: tuple[SessionRow, ...] = ()
    gauge_rows: tuple[GaugeRow, ...] = ()
    change_rows: tuple[ChangeRow, ...] = ()
    paid_rows: tuple[PaidRow, ...] = ()
    kind: PaidKind = "volume"

    @cached_property
    def results(self) -> dict[str, dict[int, Mapping[str, Value]]]:
        """Every recomputed result by table, row from 0 and key of the book's column; single cells are of row 0."""
        days: dict[int, Mapping[str, Value]] = {row.row: as_dict(row) for row in self.day_rows}
        return {
            "shots": {row.row: as_dict(row) for row in self.shot_rows},
            "loads": {row.row: as_dict(row) for row in self.load_rows},
            "days": days,
            "sections": {index: as_dict(row) for index, row in enumerate(self.section_rows)},
            f"pay_{self.kind}": {index: as_dict(row) for index, row in enumerate(self.paid_rows)},
            "by_day": days,
            "overall": {0: self.totals.overall},
            "pads": {row: {"rate": rate} for row, rate in self.calibration.rates.items()},
            "catch": {row: {"flow": flow} for row, flow in self.calibration.flows.items()},
            "calibration": {0: self.calibration.results},
            "monitor": {row.row: as_dict(row) for row in self.monitor_rows},
            "changes": {row.row: as_dict(row) for row in self.change_rows},
            "gauges": {row.row: as_dict(row) for row in self.gauge_rows},
        }


def compute(entries: Iterable[Entry], order: Order, machine: Machine) -> Computation:
    """Compute everything that the book computes from its logs, in the order's units."""
    logs = Logs.of(entries)
    chart, factors = chart_of(machine, order), Factors.of(order)
    changes = compute_changes(logs.changes, logs.shots, order)
    dates = [day.date for day in logs.days if day.date is not None]
    loads = compute_loads(logs.all_loads, dates, order, chart, factors)
    came = came_in(logs.all_loads, loads)
    shots = compute_shots(logs.all_shots, order, chart, factors, changes, came)
    days = compute_days(logs.days, order, chart, factors, shots, loads)
    sections = compute_sections(shots, order)
    totals, paid = totals_of(logs.days, order, shots, loads, days, sections)
    calibration = compute_calibration(logs, order, machine)
    monitor = compute_monitor(logs.monitor, logs.all_shots, shots, order, machine)
    gauges = compute_gauges(logs.gauges)
    return Computation(
        logs,
        chart,
        factors,
        shots,
        loads,
        days,
        sections,
        totals,
        calibration,
        monitor,
        gauges,
        changes,
        paid,
        paid_kind(order),
    )


def as_dict(
    row: ShotRow | LoadRow | DayRow | SectionRow | SessionRow | GaugeRow | ChangeRow | PaidRow,
) -> dict[str, Any]:
    """A recomputed row by the keys of the book's columns (``from_`` is ``from``)."""
    return {name.rstrip("_"): value for name, value in row._asdict().items()}
