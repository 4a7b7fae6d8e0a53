"""Reference rows that no part of the house answers yet, each with the reason."""

LATER = "not in the house yet"
LEFT_OUT = {
    "efficiency of crossed helical pair": "crossed helical gears are not in the house",
    "best measured chain efficiency": "a measurement; the machine file gives each efficiency",
    "power to drive machine": "mean of a torque diagram: the cycle solution of the train, not one formula",
    "moment of inertia": "turning-moment diagram of an engine; the house takes its energy swing as given",
    "motor power, punch": "a press; punching is not a load of the house",
    "axial force resultant of a double helical gear": "none is left: tested through the machine file, with forces in space",
    "maximum sliding velocity (approach)": "sliding speeds are not rated by the classical methods",
    "sliding velocity at end of engagement": "sliding speeds are not rated by the classical methods",
    "length of arc of contact": "the house gives the path of contact and the contact ratio",
    "output speed of compound train": "a whole train: tested through the machine file, not by a formula",
    "output torque of ideal train": "a whole train: tested through the machine file, not by a formula",
    **dict.fromkeys(("R5 step 3", "R10 value nearest 10^(5/10)"), "the house uses R20 of the preferred numbers alone"),
    "speed change when drive torque rises 20 % (fan governed)": "settled by the balance of the train, not one formula",
}
TOPICS_LEFT_OUT = {
    "gear rating (AGMA)": f"gear strength by AGMA: {LATER}",
}

SHAFT_TOPICS_LEFT_OUT = {
    "alignment": f"lining up of shafts: {LATER}",
    "locating": f"locating of modules: {LATER}", "stack-up": f"tolerance chains: {LATER}",
    "safety": f"guards, reach over and through them, and rigging rules beyond the hanging load: {LATER}",
}
SHAFT_ROWS_LEFT_OUT = {
    "shaft-keyseat-first-Kt": "2.2 of an earlier edition; the house holds the 2.14 of Shigley, 9th ed.",
    **dict.fromkeys(("brg-a1-1990-95", "brg-a1-1990-96", "brg-a1-1990-97", "brg-a1-1990-98", "brg-a1-1990-99",
                     "brg-a1-weibull-95", "brg-a1-weibull-98", "brg-a1-weibull-99"),
                    "factors of the 1990 edition; the house follows ISO 281:2007"),
    **dict.fromkeys(("brg-ex-11.3", "brg-rel-jindal-18.7", "brg-rel-jindal-18.8"),
                    "Weibull sizing with other slopes; the house follows ISO 281:2007"),
    "brg-sm-11.3": "roller bearings: only deep groove ball bearings are in the house",
    "cpl-service-factor": "service factors of a maker; the house follows DIN 740-2",
    **dict.fromkeys(("spline-sadhu-7.3-force", "spline-wentzell-15.2"), "splines are not in the house"),
    "shaft-faires-471a": "Soderberg's line with a shear line of its own; the house joins by distortion energy",
    "din743-case-S1": "case 1, the mean stress stays; the house takes case 2, the ratio stays, which asks for more",
    "din743-K1-casehard-40": "case-hardening steels are not in the table of steels",
    "crit-margin-german": "a weaker school rule; the house asks for twice the turning speed",
    "crit-sarkar-11.13-range": "speeds to keep out of above the critical speed; the house stays far below it",
    "shaft-wentzell-5.6": "finite life; the house rates for endless life",
    "shaft-torsion-sadhu-6.3": "torsion by distortion energy; the house sizes first by greatest shear stress",
}
