"""The desk: one local page on which the whole machine is seen, changed and taken away."""
