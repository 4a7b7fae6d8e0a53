"""Errors of the train's own shape: where they come from and how unevenly a shaft turns by them."""
