"""The kinds of error that can be planted, by the name of the finding each must give."""

from sheetgen.demo.planted_errors.book import BOOK_PLANTS
from sheetgen.demo.planted_errors.plant import Plant
from sheetgen.demo.planted_errors.shots import SHOT_PLANTS
from sheetgen.demo.planted_errors.typed import TYPED_PLANTS

PLANTS: dict[str, Plant] = {plant.finding: plant for plant in (*TYPED_PLANTS, *SHOT_PLANTS, *BOOK_PLANTS)}

__all__ = ["PLANTS", "Plant"]
