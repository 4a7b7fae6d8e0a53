"""What is said of hubs and fits that cannot be made."""

from __future__ import annotations

from layshaft.machine.sentences.wording import clipped


def not_a_fit(path: str, why: str) -> str:
    """A text that is no fit, or one the standard does not have at this size."""
    return f"{path}: {clipped(why, 300)}"


def shaft_class_wanted(path: str, text: str) -> str:
    """A pair on a bearing seat."""
    return (f"{path}: '{clipped(text)}' names a bore too, and that of a bearing comes with it. "
            "Write the class of the shaft alone, such as k6; the housing has its own key.")


def hole_class_wanted(path: str, text: str) -> str:
    """A shaft class for a housing."""
    return f"{path}: '{clipped(text)}' is a class for shafts. A housing is a hole; write for instance H7."


def hub_on_bearing(path: str) -> str:
    """A hub where a bearing sits."""
    return f"{path}: this seat carries a bearing. Give the hub a seat of its own."


def not_smaller(path: str, what: str, size: str, diameter: str, instead: str) -> str:
    """A part that should go into the shaft and does not."""
    return f"{path}: {what} is {size}, the shaft only {diameter} there. {instead}"


def not_larger(path: str, what: str, size: str, diameter: str) -> str:
    """A hub that should go round the shaft and does not."""
    return f"{path}: {what} is {size}, the shaft is {diameter} there. A hub must be larger than what it sits on."


def clamp_bore_differs(path: str, name: str, bore: str, diameter: str) -> str:
    """A taper clamp and its shaft do not fit."""
    return (f"{path}: taper clamp {clipped(name)} has a bore of {bore}, the shaft is {diameter} there. "
            "Change the clamp, 'at' or the section.")


def hinge_behind_screws(path: str, screws: str, shaft: str) -> str:
    """A slit hub whose screws lie nearer to the hinge than the shaft."""
    return (f"{path}: its screws are {screws} from the hinge, the shaft's axis {shaft}. "
            "The screws belong beyond the shaft; measure both from the end of the slit.")


def two_ways(path: str) -> str:
    """A measured interference and a fit."""
    return (f"{path}: the seat states a 'fit' too, and the two may differ. "
            "Keep the measured interference, or the fit, not both.")
