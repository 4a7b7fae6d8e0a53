"""Brakes against the frame, off while the machine runs, on to hold and to stop it: disc, block and band."""
