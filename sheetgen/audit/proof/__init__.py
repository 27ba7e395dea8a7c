"""What changed in the locked part of a returned book, one module for each part of a book."""
