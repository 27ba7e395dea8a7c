"""Many returned books in one run: over several processes, in a stable order, and to be continued after a stop."""

from sheetgen.batch.issued_as import IssuedAs
from sheetgen.batch.many import recheck_many
from sheetgen.batch.named_files import returned_files
from sheetgen.batch.result import Result
from sheetgen.batch.run_summary import Tally

__all__ = ["IssuedAs", "Result", "Tally", "recheck_many", "returned_files"]
