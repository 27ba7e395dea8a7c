"""The recheck's report: a workbook for people and a JSON file for programs, one pair for each returned book.

:func:`write_report` writes them, :func:`write_summary` one line a book for many of them. Both say the same things:
they are drawn from one :class:`~sheetgen.audit.report.document.Document`.
"""

from __future__ import annotations

from sheetgen.audit.report.summary import BookLine, line_of, write_summary
from sheetgen.audit.report.write import report_names, write_report

__all__ = ["BookLine", "line_of", "report_names", "write_report", "write_summary"]
