"""Columns and their cells: matched by name, read as numbers, days, words and cover."""
