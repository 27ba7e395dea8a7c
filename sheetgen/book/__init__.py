"""From an order to field books: each sheet drawn as data, laid out, signed and written."""
