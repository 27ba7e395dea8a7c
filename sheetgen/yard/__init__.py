"""The yard workbook: what an office keeps of its distributors and materials, written, read and checked."""
