"""How steadily something turns: figures a run is judged by."""

from __future__ import annotations

import numpy as np

from layshaft.mechanics.loads import ZERO_CELSIUS
from layshaft.trace.formula import formula
from layshaft.trace.source import Source
from layshaft.trace.units import Count, Density, Ratio, Speed, Temperature, Time

FLUCTUATION = Source("Khurmi & Gupta, A Textbook of Machine Design, 14th ed.",
                     "ch. 22, coefficient of fluctuation of speed", "from memory")
GAS = Source("ideal gas law at constant pressure, textbooks on thermodynamics", obtained="common practice")
KINEMATICS = Source("kinematics of turning", obtained="derived")

MEANING = {
    "omega_max": "largest speed", "omega_min": "smallest speed", "omega": "mean speed",
    "omega_w": "speed that is wanted",
    "omega_0": "speed before", "omega_1": "lowest speed after, or the highest where it rises",
    "t_r": "time of the run", "t_w": "time one winding lasts",
    "rho": "density of the air as stated", "t_m": "temperature it is stated for", "t": "temperature of the air",
    "tau_0": "spacing of the events at the beginning", "tau_1": "spacing of the events at the end",
}


@formula("C_s", "swing of speed", FLUCTUATION, where=MEANING)
def swing(omega_max: Speed, omega_min: Speed, omega: Speed) -> Ratio:
    """From the slowest to the fastest, as a share of the mean."""
    return (omega_max - omega_min) / omega


@formula("e_r", "error of the mean rate", KINEMATICS, where=MEANING)
def rate_error(omega: Speed, omega_w: Speed) -> Ratio:
    """Above zero it runs too fast."""
    return omega / omega_w - 1


@formula("e_d", "drift of the rate", KINEMATICS, where=MEANING, outside="no two events")
def rate_drift(tau_0: Time, tau_1: Time) -> Ratio:
    """By how much the rate has grown from the first events to the last."""
    return tau_0 / np.where(tau_1 > 0, tau_1, np.nan) - 1


@formula("q_d", "droop", KINEMATICS, where=MEANING)
def droop(omega_0: Speed, omega_1: Speed) -> Ratio:
    """Share of its speed that a change costs for a while; below zero it gains."""
    return 1 - omega_1 / omega_0


@formula("n_w", "windings a run takes", KINEMATICS, where=MEANING)
def windings(t_r: Time, t_w: Time) -> Count:
    """How many full drops go into the run."""
    return t_r / t_w


@formula("rho_t", "density of air at another temperature", GAS, where=MEANING, outside="colder than there is")
def air_density(rho: Density, t_m: Temperature, t: Temperature) -> Density:
    """Dry air at one pressure: as the absolute temperatures, turned over."""
    return rho * (t_m + ZERO_CELSIUS) / np.where(t + ZERO_CELSIUS > 0, t + ZERO_CELSIUS, np.nan)
