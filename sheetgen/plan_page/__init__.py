"""The plan as a workbook: the answer on one printed page, the tables that it comes from on the sheets behind."""
