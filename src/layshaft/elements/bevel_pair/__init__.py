"""Straight bevel pair: cones, virtual spur teeth, forces, strength, fit, and how shafts shift it at the mesh.

Spiral, skew and hypoid bevels are not covered: their teeth bear and push otherwise.
"""
