"""Suppliers' lists: read from a file, understood column by column, kept, found again."""
