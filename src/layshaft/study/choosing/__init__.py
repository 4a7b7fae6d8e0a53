"""Choosing: every combination of what can be bought that fits, rated, and the best trade-offs of those that hold."""
