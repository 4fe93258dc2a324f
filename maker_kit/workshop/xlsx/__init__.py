"""A workshop's tables as the sheets of one workbook (.xlsx), read, written and saved; the only place of openpyxl."""
