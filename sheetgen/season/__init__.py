"""What many books show together: bias, loss, deviation and habits over a season, from what a register keeps.

``season_of`` gathers the tables, ``standouts_of`` says what stands out and what it is put down to, ``write_season``
writes the workbook.
"""

from sheetgen.season.season import Season, Terms, season_of
from sheetgen.season.standouts import Standout, standouts_of
from sheetgen.season.workbook import write_season

__all__ = ["Season", "Standout", "Terms", "season_of", "standouts_of", "write_season"]
