"""Torsional vibration of the whole train: elastic machine, its natural frequencies, what shakes it, its answer."""
