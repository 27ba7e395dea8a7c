"""The recheck of a returned book: its entries read, compared with what was issued, recomputed, checked, reported."""
