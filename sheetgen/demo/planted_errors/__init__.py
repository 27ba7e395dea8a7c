"""The kinds of error that can be planted, by the name of the finding each must give.

What one entry shows is declared with the finding (``plant``); what takes more stands in the modules here.
"""

from sheetgen.audit.findings import catalogue
from sheetgen.demo.planted_errors.book import BOOK_PLANTS
from sheetgen.demo.planted_errors.plant import Plant, declared_plant
from sheetgen.demo.planted_errors.shots import SHOT_PLANTS
from sheetgen.demo.planted_errors.typed import TYPED_PLANTS

_DECLARED = tuple(declared_plant(kind.name, kind.plant) for kind in catalogue().values() if kind.plant)
PLANTS: dict[str, Plant] = {
    plant.finding: plant for plant in (*_DECLARED, *TYPED_PLANTS, *SHOT_PLANTS, *BOOK_PLANTS)
}

__all__ = ["PLANTS", "Plant"]
