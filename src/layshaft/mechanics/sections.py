"""Plane areas: their size, where their middle lies and how they resist bending.

Every second moment is about the area's own middle, about the axis that lies across unless the name
says upright. Sums of areas are made by the parallel axis; a hole counts as an area below zero.
"""

from __future__ import annotations

import math

import numpy as np

from layshaft.trace.formula import formula
from layshaft.trace.source import Source
from layshaft.trace.units import Angle, Area, Length, SecondMoment, SectionModulus

PLANE = Source("second moments of plane areas, integrals of the shape", obtained="derived")
AREA = {
    "b": "breadth", "h": "height", "b_i": "inside breadth", "h_i": "inside height", "r": "radius",
    "d": "outside diameter", "d_i": "bore, 0 if solid", "a": "shorter of the two parallel sides, on top",
    "t": "thickness of the wall", "t_w": "thickness of the web", "t_f": "thickness of the flange",
    "A": "area", "I_0": "second moment about its own middle", "e": "distance of the axes",
    "I_x": "second moment about the axis across", "I_y": "second moment about the upright axis",
    "I_xy": "product of inertia of the area, positive where it lies along the diagonal x = y",
    "I": "second moment of area", "c": "distance of the farthest fibre from the middle",
    "x": "distance of the two middles along x", "y": "distance of the two middles along y",
}

# Area ------------------------------------------------------------------------------------------


@formula("A", "area of a rectangle, hollow if told so", PLANE, where=AREA)
def rectangle_area(b: Length, h: Length, b_i: Length, h_i: Length) -> Area:
    """Outside less inside; nought inside for a solid one."""
    return b * h - b_i * h_i


@formula("A", "area of a circle or ring", PLANE, where=AREA)
def circle_area(d: Length, d_i: Length) -> Area:
    """Outside circle less the bore."""
    return math.pi / 4 * (d**2 - d_i**2)


@formula("A", "area of an ellipse", PLANE, where=AREA)
def ellipse_area(b: Length, h: Length) -> Area:
    """A circle stretched in one direction."""
    return math.pi / 4 * b * h


@formula("A", "area of a triangle", PLANE, where=AREA)
def triangle_area(b: Length, h: Length) -> Area:
    """Half the rectangle round it."""
    return b * h / 2


@formula("A", "area of a half circle", PLANE, where=AREA)
def half_circle_area(r: Length) -> Area:
    """Half of the circle."""
    return math.pi / 2 * r**2


@formula("A", "area of a trapezoid", PLANE, where=AREA)
def trapezoid_area(a: Length, b: Length, h: Length) -> Area:
    """Mean of the parallel sides times the height."""
    return (a + b) / 2 * h


@formula("A", "area of an I, H or channel section", PLANE, where=AREA)
def flanged_area(b: Length, h: Length, t_w: Length, t_f: Length) -> Area:
    """Two flanges and the web between them; sharp corners."""
    return 2 * b * t_f + (h - 2 * t_f) * t_w


@formula("A", "area of a tee section", PLANE, where=AREA)
def tee_area(b: Length, h: Length, t_w: Length, t_f: Length) -> Area:
    """One flange and the web below it; sharp corners."""
    return b * t_f + (h - t_f) * t_w


@formula("A", "area of an angle section", PLANE, where=AREA)
def angle_area(b: Length, h: Length, t: Length) -> Area:
    """Two legs that share the corner once; sharp corners."""
    return t * (b + h - t)


@formula("A", "area left outside a rounded corner", PLANE, where=AREA)
def corner_area(r: Length) -> Area:
    """A square of the radius less its quarter circle."""
    return (1 - math.pi / 4) * r**2


# Middle ----------------------------------------------------------------------------------------


@formula("y_c", "height of the middle of a triangle above its base", PLANE, where=AREA)
def triangle_centre(h: Length) -> Length:
    """A third of the height."""
    return h / 3


@formula("y_c", "height of the middle of a half circle above its flat", PLANE, where=AREA)
def half_circle_centre(r: Length) -> Length:
    """A little over two fifths of the radius."""
    return 4 * r / (3 * math.pi)


@formula("y_c", "height of the middle of a trapezoid above its longer side", PLANE, where=AREA)
def trapezoid_centre(a: Length, b: Length, h: Length) -> Length:
    """Between a third and a half of the height."""
    return h / 3 * (2 * a + b) / (a + b)


@formula("x_c", "distance of the middle of a channel from the back of its web", PLANE, where=AREA, version=2,
         outside="the walls are thicker than the section")
def channel_centre(b: Length, h: Length, t_w: Length, t_f: Length) -> Length:
    """First moment of flanges and web about the back, over the area."""
    return np.where((2 * t_f < h) & (t_w < b),
                    (2 * t_f * b**2 + (h - 2 * t_f) * t_w**2) / (2 * (2 * b * t_f + (h - 2 * t_f) * t_w)), np.nan)


@formula("y_c", "distance of the middle of a tee from the top of its flange", PLANE, where=AREA, version=2,
         outside="the flange is thicker than the section is high")
def tee_centre(b: Length, h: Length, t_w: Length, t_f: Length) -> Length:
    """First moment of flange and web about the top, over the area."""
    return np.where((t_f < h) & (t_w <= b),
                    (b * t_f**2 + t_w * (h**2 - t_f**2)) / (2 * (b * t_f + (h - t_f) * t_w)), np.nan)


@formula("y_c", "distance of the middle of an angle from the outside of the leg that lies across", PLANE, where=AREA,
         version=2, outside="the legs are thicker than they are long")
def angle_centre(b: Length, h: Length, t: Length) -> Length:
    """First moment of both legs about that face; change b and h for the other leg."""
    return np.where((t < b) & (t < h), (h**2 + (b - t) * t) / (2 * (b + h - t)), np.nan)


@formula("e_c", "distance of the middle of what a rounded corner leaves, from the square's outer sides", PLANE,
         where=AREA)
def corner_centre(r: Length) -> Length:
    """The bit outside the quarter circle lies close to the corner."""
    return r * (10 - 3 * math.pi) / (12 - 3 * math.pi)


# Second moments --------------------------------------------------------------------------------


@formula("I_x", "second moment of a rectangle, hollow if told so", PLANE, where=AREA)
def rectangle_moment(b: Length, h: Length, b_i: Length, h_i: Length) -> SecondMoment:
    """Outside less inside, both about the same middle."""
    return (b * h**3 - b_i * h_i**3) / 12


@formula("I_x", "second moment of an ellipse", PLANE, where=AREA)
def ellipse_moment(b: Length, h: Length) -> SecondMoment:
    """A circle stretched in one direction."""
    return math.pi / 64 * b * h**3


@formula("I_x", "second moment of a triangle", PLANE, where=AREA)
def triangle_moment(b: Length, h: Length) -> SecondMoment:
    """About the axis through its middle, parallel to the base."""
    return b * h**3 / 36


@formula("I_x", "second moment of a half circle", PLANE, where=AREA)
def half_circle_moment(r: Length) -> SecondMoment:
    """About the axis through its middle, parallel to the flat."""
    return (math.pi / 8 - 8 / (9 * math.pi)) * r**4


@formula("I_x", "second moment of a trapezoid", PLANE, where=AREA)
def trapezoid_moment(a: Length, b: Length, h: Length) -> SecondMoment:
    """About the axis through its middle, parallel to its two parallel sides."""
    return h**3 * (a**2 + 4 * a * b + b**2) / (36 * (a + b))


@formula("I_x", "second moment of an I, H or channel section, about the axis across its web", PLANE, where=AREA)
def flanged_moment(b: Length, h: Length, t_w: Length, t_f: Length) -> SecondMoment:
    """The rectangle round it less what is missing beside the web."""
    return (b * h**3 - (b - t_w) * (h - 2 * t_f) ** 3) / 12


@formula("I_y", "second moment of an I or H section, about the axis along its web", PLANE, where=AREA)
def flanged_moment_upright(b: Length, h: Length, t_w: Length, t_f: Length) -> SecondMoment:
    """Flanges and web about the middle they share."""
    return (2 * t_f * b**3 + (h - 2 * t_f) * t_w**3) / 12


@formula("I_y", "second moment of a channel, about the axis along its web", PLANE, where=AREA)
def channel_moment_upright(b: Length, h: Length, t_w: Length, t_f: Length) -> SecondMoment:
    """About the back of the web, then brought to the middle."""
    return (2 * t_f * b**3 + (h - 2 * t_f) * t_w**3) / 3 - (
        2 * t_f * b**2 + (h - 2 * t_f) * t_w**2) ** 2 / (4 * (2 * b * t_f + (h - 2 * t_f) * t_w))


@formula("I_x", "second moment of a tee, about the axis along its flange", PLANE, where=AREA)
def tee_moment(b: Length, h: Length, t_w: Length, t_f: Length) -> SecondMoment:
    """About the top of the flange, then brought to the middle."""
    return (b * t_f**3 + t_w * (h**3 - t_f**3)) / 3 - (
        b * t_f**2 + t_w * (h**2 - t_f**2)) ** 2 / (4 * (b * t_f + (h - t_f) * t_w))


@formula("I_x", "second moment of an angle, about the axis along the leg that lies across", PLANE, where=AREA)
def angle_moment(b: Length, h: Length, t: Length) -> SecondMoment:
    """About the outside of that leg, then brought to the middle; change b and h for the other axis."""
    return t * (h**3 + (b - t) * t**2) / 3 - t * (h**2 + (b - t) * t) ** 2 / (4 * (b + h - t))


@formula("I_xy", "product of inertia of an angle", PLANE, where=AREA)
def angle_product(b: Length, h: Length, t: Length) -> SecondMoment:
    """Legs along +x and +y from the corner: it lies across the diagonal, so the product is below zero."""
    return -b * (b - t) * h * (h - t) * t / (4 * (b + h - t))


@formula("I_x", "second moment of what a rounded corner leaves", PLANE, where=AREA)
def corner_moment(r: Length) -> SecondMoment:
    """About its own middle; the square less the quarter circle."""
    return (1 / 3 - math.pi / 16 - 1 / (3 * (12 - 3 * math.pi))) * r**4


@formula("I_x", "second moment of a rectangular tube with rounded corners", PLANE, where=AREA | {
    "r_o": "outside radius of the corners", "r_i": "inside radius of the corners",
    "I_e": "second moment of the tube with sharp corners",
    "A_o": "area left outside one outside corner", "A_i": "area left outside one inside corner",
    "I_o": "second moment of the bit left outside an outside corner",
    "I_i": "second moment of the bit left outside an inside corner",
    "e_o": "distance of the middle of the outer bit from the outer sides",
    "e_i": "distance of the middle of the inner bit from the inner sides",
})
def rounded_tube_moment(I_e: SecondMoment, I_o: SecondMoment, A_o: Area, h: Length, e_o: Length, I_i: SecondMoment,
                        A_i: Area, h_i: Length, e_i: Length) -> SecondMoment:
    """Four bits go outside, four come back inside, each at its own height."""
    return I_e - 4 * (I_o + A_o * (h / 2 - e_o) ** 2) + 4 * (I_i + A_i * (h_i / 2 - e_i) ** 2)


# Sums ------------------------------------------------------------------------------------------


@formula("I", "second moment about a parallel axis", PLANE, where=AREA)
def shifted_moment(I_0: SecondMoment, A: Area, e: Length) -> SecondMoment:
    """Its own, and its area at the distance of the axes; a hole is an area below zero with its moment below zero."""
    return I_0 + A * e**2


@formula("I_xy", "product of inertia about parallel axes", PLANE, where=AREA)
def shifted_product(I_xy: SecondMoment, A: Area, x: Length, y: Length) -> SecondMoment:
    """Its own, and its area at both distances with their signs."""
    return I_xy + A * x * y


@formula("I_1", "largest second moment, about the strong axis", PLANE, where=AREA)
def strong_moment(I_x: SecondMoment, I_y: SecondMoment, I_xy: SecondMoment) -> SecondMoment:
    """Middle of Mohr's circle and its radius."""
    return (I_x + I_y) / 2 + (((I_x - I_y) / 2) ** 2 + I_xy**2) ** 0.5


@formula("I_2", "smallest second moment, about the weak axis", PLANE, where=AREA)
def weak_moment(I_x: SecondMoment, I_y: SecondMoment, I_xy: SecondMoment) -> SecondMoment:
    """Middle of Mohr's circle less its radius: a column bows about this axis."""
    return (I_x + I_y) / 2 - (((I_x - I_y) / 2) ** 2 + I_xy**2) ** 0.5


@formula("theta", "angle from x to the strong axis", PLANE, where=AREA)
def strong_axis(I_x: SecondMoment, I_y: SecondMoment, I_xy: SecondMoment) -> Angle:
    """Half the angle on Mohr's circle, positive from x towards y."""
    return np.arctan2(-2 * I_xy, I_x - I_y) / 2


@formula("I_p", "polar second moment", PLANE, where=AREA)
def polar_moment(I_x: SecondMoment, I_y: SecondMoment) -> SecondMoment:
    """Both second moments add. It gives the stiffness in torsion of round bars and tubes only."""
    return I_x + I_y


@formula("W", "section modulus", PLANE, where=AREA)
def section_modulus(I: SecondMoment, c: Length) -> SectionModulus:
    """Bending moment over this is the stress at the farthest fibre."""
    return I / c


@formula("i", "radius of gyration of an area", PLANE, where=AREA)
def gyration(I: SecondMoment, A: Area) -> Length:
    """Where all the area would lie to resist alike."""
    return (I / A) ** 0.5
