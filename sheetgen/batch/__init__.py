"""Many returned books in one run: over several processes, in a stable order, and to be continued after a stop."""

from sheetgen.batch.many import recheck_many
from sheetgen.batch.named_files import returned_files
from sheetgen.batch.run_summary import Tally
from sheetgen.batch.task import IssuedAs, Result

__all__ = ["IssuedAs", "Result", "Tally", "recheck_many", "returned_files"]
