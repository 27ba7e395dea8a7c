"""Days of spraying, simulated apart from the product: honest books, how people type them, and what cheats change."""
