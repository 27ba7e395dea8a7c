"""Workbook files (ECMA-376): reading what a stranger may have written, drawing and writing our own."""
