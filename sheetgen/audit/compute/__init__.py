"""Every quantity of a book computed again from its entries alone, with its uncertainty."""
