"""What the office asks for: the order's model, and the workbook in which it is written and read."""
