"""Junk of every sort for every public callable: ValueError, TypeError or KeyError in one plain line, never a
crash, and the line that dragcalc prints.

Where no source is named, the rule that is checked is the package's own: text that is no number, numbers that
are none and values of a wrong kind are refused in one printable line that names the input.
"""

import dataclasses
import datetime
import decimal
import fractions
import functools
import inspect
import itertools
import json
import math
import os
import re
import signal
import subprocess
import sys
import tempfile
from concurrent.futures import ThreadPoolExecutor

import numpy as np
import pandas as pd
import pytest
from hypothesis import HealthCheck, Phase, given, settings
from hypothesis import strategies as st

import libdrag

from libdrag import (
    Area, Belt, Body, Buoy, Composition, DragCoefficient, DragShorts, Drogue, Frame, Glide, Input, PoolTest,
    Posture, Sleeve, Snorkel, Swim, Swimmer, Tether, TimedSwim, mirrored_order,
)  # fmt: skip

DRAGCALC = os.environ["DRAGCALC"]
BODY = Body("f", 1.72, 63)
SWIM = Swim(BODY, stroke="crawl")
RACE = {"event": "100 free", "course": "lcm", "time_s": 62.4, "breathe": "every-2", "given": "with"}
PRICED = {"event": "100 free", "time_s": 62.4, "course": "scm", "breathe": "every-2"}
RUN = {"draws": 100, "seed": 1, "level": 0.95, "threads": 1}
TABLE = np.zeros(3, dtype=[("time_s", float), ("cost_s", float)])
WORN = {"aids": [Belt(2.0)], "composition": Composition()}
# Files as they are found at a pool.
PLACE = tempfile.TemporaryDirectory()
TODAY, SEASON, FILM, SWUM = (
    os.path.join(PLACE.name, name) for name in ("today.csv", "season.csv", "film.csv", "swum.csv")
)
with open(TODAY, "w") as file:
    file.write("kind,how,time (s)\nswim,snorkel,14.32\nswim,every-2,14.60\n")
with open(SWUM, "w") as file:
    file.write("how,time (s)\nsnorkel,14.31\nevery-2,14.60\nevery-2,14.66\nsnorkel,14.42\n")
with open(SEASON, "w") as file:
    file.write("date,swimmer,kind,stroke,how,set,order,distance (m),surface (m),time (s),by,strokes,drop (deg),"
               "drop sd (deg),side,note\n"
               "2026-11-02,Mia,drop,crawl,every-2,,,,,,,,5.0,,both,\n"
               "2026-11-16,Mia,drop,crawl,every-2,,,,,,,,4.4,,both,\n"
               "2026-11-30,Mia,drop,crawl,every-2,,,,,,,,3.5,,both,\n")  # fmt: skip
with open(FILM, "w") as file:
    file.write(
        "breath,shoulder x (px),shoulder y (px),hip x (px),hip y (px)\n1,412,310,290,322\n,700,305,578,309\n"
    )
SQUAD = pd.DataFrame(
    {"name": ["Mia", "Anna"], "event": "100 free", "time_s": [62.4, 66.0], "hip_drop_deg": [4.0, 3.0]}
)
SWIMS = [
    TimedSwim(("snorkel", "every-2")[i], time)
    for i, time in zip(mirrored_order(2, 3), (14.31, 14.60, 14.66, 14.42, 14.39, 14.70))
]
GLIDED = {"time_s": [0, 0.4, 0.8, 1.2, 1.6, 2.0], "distance_m": [0.5, 1.35, 2.1, 2.75, 3.35, 3.9]}
MARKED, WITHOUT = Frame((412, 310), (290, 322)), Frame((700, 305), (578, 309))


def appended(number=itertools.count(), **row):
    """A row in a record of its own."""
    where = os.path.join(PLACE.name, f"appended-{next(number)}.csv")
    return libdrag.append_to_record(where, **{"name": "Mia", "date": "2026-11-25", **row})


def double(block):
    """A model for `propagate`."""
    return 2.0 * block["x"]


# --- every public callable with arguments that work -------------------------------------------------

# Name, what is called, its arguments. Alternatives that exclude each other have a line each.
CALLS = [
    ("Body", Body, {"sex": "f", "stature_m": 1.72, "mass_kg": 63.0, "measured": {"chest_girth": 0.9},
                    "measured_sd_m": 0.005}),
    ("Body measured", lambda chest_girth_m: Body("f", 1.72, 63, {"chest_girth": chest_girth_m}),
     {"chest_girth_m": 0.9}),
    ("Body.replace", BODY.replace, {"sex": "m", "stature_m": 1.8, "mass_kg": 75.0, "measured_sd_m": 0.01,
                                    "chest_girth_m": 0.95}),
    ("Body.posed", BODY.posed, {"posture": "streamlined", "incline_deg": 5.0}),
    ("Body.projected_area_m2", BODY.projected_area_m2, {"incline_deg": 5.0, "posture": "streamlined"}),
    ("Body.areas", BODY.areas, {"incline_deg": 5.0, "posture": "streamlined"}),
    ("Posture", lambda **angles: BODY.posed(Posture(**angles)),
     {"arms": "mid-stroke", "head_lift_deg": 10.0, "leg_angle_deg": 5.0, "knee_bend_deg": 5.0,
      "leg_spread_deg": 5.0,
      "arm_angle_deg": 5.0, "arm_spread_deg": 5.0, "roll_deg": 5.0}),
    ("Area", Area, {"m2": 0.07, "kind": "projected"}),
    ("DragCoefficient", DragCoefficient, {"value": 0.5, "kind": "projected"}),
    ("Area times", lambda other: Area(0.07, "projected") * other,
     {"other": DragCoefficient(0.5, "projected")}),
    ("DragCoefficient times", lambda other: DragCoefficient(0.5, "projected") * other,
     {"other": Area(0.07, "projected")}),
    ("water", libdrag.water, {"temperature_c": 27.0, "kind": "fresh"}),
    ("Water", libdrag.Water, {"kind": "sea", "temperature_c": 27.0}),
    ("Swim", Swim, {"body": BODY, "stroke": "crawl", "method": "planimetric", "tilt_model": "blend",
                    "waves": "share",
                    "posture": "streamlined", "incline_deg": 9.0, "depth_m": 0.0, "water": libdrag.water(),
                    "k_kg_m": 28.0, "coefficients": {"tilt.slope": 2.0}, "age_years": 25, "name": "Ada"}),
    ("Swim coefficients", lambda value, sd: Swim(BODY, coefficients={"tilt.slope": (value, sd)}),
     {"value": 2.0, "sd": 0.5}),
    ("Swim coefficient", lambda key: Swim(BODY, coefficients={key: 2.0}), {"key": "tilt.slope"}),
    ("Swimmer", Swimmer, {"name": "Ada", "body": BODY, "incline_deg": 9.0, "k_kg_m": 28.0, "record": "squad.csv"}),
    ("Swimmer.save", lambda path, overwrite: Swimmer("Ada", BODY).save(path, overwrite=overwrite),
     {"path": os.devnull + "/ada.json", "overwrite": False}),
    ("read_swimmer", libdrag.read_swimmer, {"path": "no such file"}),
    ("Snorkel", Snorkel, {}),
    ("Belt", Belt, {"mass_kg": 2.0, "at_m": 1.0}),
    ("DragShorts", DragShorts, {"drag_area_m2": 0.006}),
    ("Drogue", Drogue, {"opening_m2": 0.09, "shape": "bowl"}),
    ("Tether", Tether, {"pull_N": 20.0}),
    ("Buoy", Buoy, {"volume_m3": 0.003, "at_m": 0.8}),
    ("Sleeve", Sleeve, {"volume_m3": 0.002, "at_m": 0.8}),
    ("Composition", Composition, {"lungs": "mid", "fat_percent": 20.0, "age_years": 25.0}),
    ("Composition of gas", Composition, {"lungs": 0.0025}),
    ("passive_drag", lambda *a, **k: interval_too(libdrag.passive_drag(*a, **k)),
     {"body": BODY, "speed_m_s": 1.5, "incline_deg": 5.0, "depth_m": 0.0, "draws": 100, "seed": 1,
      "level": 0.95,
      "population": "swimmer"}),
    ("active_drag", lambda *a, **k: interval_too(libdrag.active_drag(*a, **k)),
     {"body": SWIM, "speed_m_s": 1.5, "incline_deg": 5.0, "depth_m": 0.0, "draws": 100, "seed": 1,
      "level": 0.95,
      "population": "swimmer"}),
    ("active_drag of a stroke", libdrag.active_drag,
     {"body": BODY, "speed_m_s": 1.5, "stroke": "fly", "method": "perturbation"}),
    ("tilt_ratio", libdrag.tilt_ratio, {"body": SWIM, "to_deg": 5.0, "from_deg": 0.0, "model": "slope"}),
    ("drag", libdrag.drag, {"body": BODY, "speed_m_s": 1.5, "aids": None, "composition": Composition(),
                            "population": "swimmer", **RUN}),
    ("drag with aids", libdrag.drag, {"body": BODY, "speed_m_s": 1.5, **WORN, "draws": 100}),
    ("stroke", libdrag.stroke, {"body": BODY, "speed_m_s": 1.5, "cycle_s": 1.2, "breathe": "every-2",
                                "hip_drop_deg": 4.0,
                                "effort": "power", "aids": None, "composition": None, "population": "swimmer",
                                **RUN}),
    ("stroke by depth", libdrag.stroke, {"body": BODY, "speed_m_s": 1.5, "hip_drop_m": 0.03, "draws": 100}),
    ("stroke by lift", libdrag.stroke, {"body": BODY, "speed_m_s": 1.5, "head_lift_deg": 20.0, "draws": 100}),
    ("stroke by rise", libdrag.stroke, {"body": BODY, "speed_m_s": 1.5, "head_lift_m": 0.06, "draws": 100}),
    ("periodic_motion", libdrag.periodic_motion,
     {"mass_kg": 70.0, "duration_s": [0.5, 0.5], "thrust_N": [60.0, 40.0], "k_kg_m": 25.0}),
    ("balance", libdrag.balance, {"body": BODY, **WORN, "head_lift_deg": 20.0, "breathe": "every-2"}),
    ("balance by rise", libdrag.balance, {"body": BODY, "head_lift_m": 0.06}),
    ("aids", libdrag.aids, {"body": BODY, "speed_m_s": 1.5, "worn": [Belt(2.0)], "hip_drop_deg": 4.0,
                            "breathe": "every-2",
                            "composition": None, **RUN}),
    ("aids wanted", libdrag.aids, {"body": BODY, "speed_m_s": 1.5, "worn": Tether(10.0), "want": 1.1,
                                   "draws": 100}),
    ("aids by lift", libdrag.aids, {"body": BODY, "speed_m_s": 1.5, "worn": Tether(10.0), "head_lift_deg": 20.0,
                                    "draws": 100}),
    ("aids by rise", libdrag.aids, {"body": BODY, "speed_m_s": 1.5, "worn": Tether(10.0), "head_lift_m": 0.06,
                                    "draws": 100}),
    ("aids by depth", libdrag.aids, {"body": BODY, "speed_m_s": 1.5, "worn": Tether(10.0), "hip_drop_m": 0.03,
                                     "draws": 100}),
    ("cost", libdrag.cost,
     {"body": BODY, **RACE, "hip_drop_deg": 4.0, "hip_drop_sd_deg": 1.0, "when": "breath",
      "start_underwater_m": 11.0,
      "turn_underwater_m": 6.0, "aids": None, "composition": None, "within_stroke": False, **RUN}),
    ("cost by depth", libdrag.cost, {"body": BODY, **RACE, "hip_drop_m": 0.06, "hip_drop_sd_m": 0.01,
                                     "draws": 100}),
    ("cost by lift", libdrag.cost, {"body": BODY, **RACE, "head_lift_deg": 20.0, "draws": 100}),
    ("cost by rise", libdrag.cost, {"body": BODY, **RACE, "head_lift_m": 0.06, "draws": 100}),
    ("cost of a medley", libdrag.cost, {"body": BODY, "event": "200 IM", "time_s": 150.0, "hip_drop_deg": 4.0,
                                        "splits_s": [30.0, 37.0, 43.0, 40.0], "draws": 100}),
    ("cost of several", libdrag.cost, {"body": [BODY, BODY], **RACE, "hip_drop_deg": [2.0, 4.0],
                                       "draws": 100}),
    ("sweep", libdrag.sweep,
     {"body": [BODY, BODY], **RACE, "hip_drop_deg": 4.0, "hip_drop_sd_deg": 1.0, "when": "breath",
      "aids": None,
      "composition": None, "within_stroke": False, **RUN}),
    ("sweep by depth", libdrag.sweep, {"body": BODY, **RACE, "hip_drop_m": 0.06, "hip_drop_sd_m": 0.01,
                                       "draws": 100}),
    ("sweep by lift", libdrag.sweep, {"body": BODY, **RACE, "head_lift_deg": 20.0, "start_underwater_m": 11.0,
                                      "draws": 100}),
    ("sweep by rise", libdrag.sweep, {"body": BODY, **RACE, "head_lift_m": 0.06, "turn_underwater_m": 6.0,
                                      "draws": 100}),
    ("what_if", libdrag.what_if, {"body": BODY, "drops_deg": [2.0, 4.0], **RACE, "draws": 100}),
    ("wanted_gain", libdrag.wanted_gain, {"body": BODY, "gain_s": 0.2, **RACE, "hip_drop_deg": 4.0, **RUN}),
    ("implied_hip_drop", libdrag.implied_hip_drop, {"body": BODY, "time_without_s": 62.0, **RACE, **RUN}),
    ("Input.normal", lambda **k: libdrag.propagate(double, {"x": Input.normal(**k)}, draws=100),
     {"mean": 1.0, "sd": 0.5, "low": 0.0, "high": 2.0}),
    ("Input.uniform", lambda **k: libdrag.propagate(double, {"x": Input.uniform(**k)}, draws=100),
     {"low": 0.0, "high": 2.0}),
    ("Input.choice", lambda **k: libdrag.propagate(double, {"x": Input.choice(**k)}, draws=100),
     {"weights": [1.0, 2.0]}),
    ("Input.fixed", lambda **k: libdrag.propagate(double, {"x": Input.fixed(**k)}, draws=100),
     {"value": 1.0}),
    ("propagate", libdrag.propagate, {"model": double, "inputs": {"x": Input.normal(0.0, 1.0)}, "draws": 100,
                                      "seed": 1,
                                      "level": 0.95, "shortest": False}),
    ("propagate by name", lambda name: libdrag.propagate(lambda x: x[str(name)], {name: 1.0}, draws=100),
     {"name": "x"}),
    ("propagate input", lambda given: libdrag.propagate(double, {"x": given}, draws=100), {"given": 1.0}),
    ("propagate answer", lambda answer: libdrag.propagate(lambda x: answer, {"x": Input.normal(0.0, 1.0)},
                                                          draws=100),
     {"answer": 1.0}),
    ("interval", libdrag.interval, {"values": np.arange(200.0), "level": 0.95, "shortest": False}),
    ("evidence coefficients", lambda coefficients: libdrag.evidence(coefficients=coefficients),
     {"coefficients": {"no such": 1.0}}),
    ("evidence", lambda **k: libdrag.evidence(**{**k, "coefficients": {"no such": 1.0}}), {"level": 0.95}),
    ("sources", lambda key: libdrag.sources()[key], {"key": "tilt.slope"}),
    ("to_pandas", libdrag.to_pandas, {"result": TABLE}),
    ("to_xarray", libdrag.to_xarray, {"result": TABLE}),
    ("Drag.to_ufloat", libdrag.drag(BODY, 1.5, draws=100).to_ufloat, {"name": "active_N"}),
    ("drag_force_N", libdrag.drag_force_N, {"speed_m_s": 1.5, "drag_area_m2": 0.03,
                                            "water": libdrag.water()}),
    ("speed_specific_drag_kg_m", libdrag.speed_specific_drag_kg_m, {"drag_N": 40.0, "speed_m_s": 1.5}),
    ("reynolds", libdrag.reynolds, {"speed_m_s": 1.5, "length_m": 2.0, "water": libdrag.water()}),
    ("friction_coefficient", libdrag.friction_coefficient, {"reynolds": 3e6, "line": "hughes"}),
    ("form_factor", libdrag.form_factor, {"thickness": 0.2}),
    ("active_factor", libdrag.active_factor, {"speed_m_s": 1.5, "stroke": "crawl",
                                              "method": "residual-thrust"}),
    ("drag_by_perturbation_N", libdrag.drag_by_perturbation_N,
     {"added_N": 5.0, "speed_m_s": 1.5, "loaded_speed_m_s": 1.4, "exponent": 2.0}),
    ("drag_by_assisted_tow_N", libdrag.drag_by_assisted_tow_N,
     {"tow_N": 5.0, "speed_m_s": 1.5, "towed_speed_m_s": 1.6}),
    ("speed_change_at_power", libdrag.speed_change_at_power, {"drag_change": 0.1, "exponent": 2.0}),
    ("speed_change_at_thrust", libdrag.speed_change_at_thrust, {"drag_change": 0.1, "exponent": 2.0}),
    ("crossflow_efficiency", libdrag.crossflow_efficiency, {"fineness": 6.0}),
    ("froude", libdrag.froude, {"speed_m_s": 1.5, "length_m": 2.0}),
    ("hull_speed_m_s", libdrag.hull_speed_m_s, {"length_m": 2.0}),
    ("transverse_wavelength_m", libdrag.transverse_wavelength_m, {"speed_m_s": 1.5, "water_depth_m": 2.0}),
    ("wave_share", libdrag.wave_share, {"froude": 0.3}),
    ("wave_depth_factor", libdrag.wave_depth_factor, {"speed_m_s": 1.5, "depth_m": 0.5}),
    ("havelock_spheroid", libdrag.havelock_spheroid,
     {"speed_m_s": 1.5, "length_m": 2.0, "diameter_m": 0.4, "axis_depth_m": 0.6, "water": libdrag.water()}),
    ("havelock_sphere", libdrag.havelock_sphere,
     {"speed_m_s": 1.5, "diameter_m": 0.4, "centre_depth_m": 0.6, "water": libdrag.water()}),
    ("spheroid_added_mass", libdrag.spheroid_added_mass, {"length_m": 2.0, "diameter_m": 0.4}),
    ("swimmer_added_mass_kg", libdrag.swimmer_added_mass_kg, {"mass_kg": 63.0, "sex": "f", "child": False}),
    ("ellipsoid_projected_area_m2", libdrag.ellipsoid_projected_area_m2,
     {"a_m": 1.0, "b_m": 0.3, "c_m": 0.2, "tilt_deg": 5.0}),
    ("ellipsoid_surface_m2", libdrag.ellipsoid_surface_m2, {"a_m": 1.0, "b_m": 0.3, "c_m": 0.2}),
    ("hip_drop_level", libdrag.hip_drop_level, {"time_cycles": 0.1, "spacing_cycles": 1.0,
                                                "width_cycles": 0.4}),
    ("breath_shares", libdrag.breath_shares, {"breathe": "every-2", "stroke": "crawl", "width_cycles": 0.4}),
    ("pulse_width_cycles", libdrag.pulse_width_cycles, {"stroke": "crawl"}),
    ("breaths_per_cycle", libdrag.breaths_per_cycle, {"breathe": "every-2", "stroke": "crawl"}),
    ("usual_breathing", libdrag.usual_breathing, {"stroke": "crawl"}),
    ("advance", libdrag.advance, {"mass_kg": 70.0, "thrust_N": 40.0, "k_kg_m": 25.0, "speed_m_s": 1.5,
                                  "duration_s": 0.3}),
    ("siri_density_kg_m3", libdrag.siri_density_kg_m3, {"fat_percent": 20.0}),
    ("lung_volumes", libdrag.lung_volumes, {"body": BODY, "age_years": 25.0}),
    ("events", libdrag.events, {"course": "lcm"}),
    ("guessed_time_s", libdrag.guessed_time_s, {"event": "100 free", "time_s": 62.4, "other": "200 free",
                                                "course": "lcm"}),
    ("format_time", libdrag.format_time, {"time_s": 62.4}),
    ("PoolTest", PoolTest, {"date": "2026-11-25", "swims": SWIMS, "distance_m": 25.0, "stroke": "crawl",
                            "surface_m": 15.0, "by": "pads", "turns": False, "set": "1"}),
    ("PoolTest of a swim", lambda **swim: PoolTest("2026-11-25", [TimedSwim(**swim)], distance_m=25),
     {"how": "snorkel", "time_s": 14.32, "order": 1, "strokes": 14, "note": "", "left_out": False, "row": 0}),
    ("Glide", Glide, {**GLIDED, "held_deg": 8.0, "depth_m": 0.6, "date": "2026-11-25", "set": "1"}),
    ("Frame", Frame, {"shoulder": (412, 310), "hip": (290, 322), "at_s": 0.1, "ankle": (170, 330),
                      "head": (450, 300), "horizon": ((0, 300), (1280, 304)), "side": "toward"}),
    ("read_record", libdrag.read_record, {"path": TODAY, "date": "2026-11-25", "stroke": "crawl",
                                          "distance_m": 25.0, "by": "pads"}),
    ("read_record by name", lambda name: libdrag.read_record(SEASON, name), {"name": "Mia"}),
    ("append_to_record", libdrag.append_to_record, {"path": os.devnull + "/squad.csv", "name": "Mia"}),
    ("append_to_record of swims", lambda **k: appended(**k),
     {"kind": "swim", "date": "2026-11-25", "stroke": "crawl", "how": "every-2", "distance_m": 25.0,
      "surface_m": 15.0, "time_s": 14.5, "strokes": 14, "by": "pads", "set": "1", "order": 1, "turn": False,
      "left_out": False}),
    ("append_to_record of a name", lambda **k: appended(kind="remark", **k), {"name": "Mia", "note": "tired"}),
    ("append_to_record of a drop", lambda **k: appended(kind="drop", **k),
     {"drop_deg": 4.0, "drop_sd_deg": 0.5, "breaths": 5, "side": "both"}),
    ("append_to_record of a depth", lambda **k: appended(kind="drop", **k), {"drop_m": 0.06, "drop_sd_m": 0.02}),
    ("append_to_record of a film", lambda **k: appended(kind="frames", **k), {"film": "mia.csv"}),
    ("append_to_record of a glide", lambda **k: appended(kind="glide", **k), {"points": [(0.5, 1.1), (1.0, 2.0)],
                                                                                    "depth_m": 0.6}),
    ("append_to_record of a load", lambda **k: appended(kind="loaded", distance_m=25, time_s=17.6, **k),
     {"load_N": 45.0}),
    ("append_to_record of a tow", lambda **k: appended(kind="loaded", distance_m=25, time_s=13.8, **k),
     {"tow_N": 40.0}),
    ("append_to_record of a race", lambda **k: appended(kind="race", time_s=62.4, **k),
     {"event": "100 free", "course": "scm"}),
    ("watch", libdrag.watch, {"tests": [PoolTest("2026-11-25", SWIMS, distance_m=25)], "reference": "snorkel",
                              "level": 0.95, "coefficients": {}}),
    ("mirrored_order", libdrag.mirrored_order, {"conditions": 2, "each": 4}),
    ("pool_test_plan", libdrag.pool_test_plan, {"conditions": 2, "each": 4, "swim_s": 14.5, "coefficients": {}}),
    ("angle", lambda **k: libdrag.angle(**k),
     {"breaths": [MARKED, [MARKED]], "without": WITHOUT, "side": "away", "horizon": ((0, 300), (1280, 304)),
      "slip_px": 1.5, "cycle_s": 1.2, "above_water": False, "stroke": "crawl", "body": BODY, **RUN}),
    ("angle of a file", libdrag.angle, {"file": FILM}),
    ("glide", libdrag.glide, {"body": BODY, "glides": [Glide(**GLIDED)], **RUN}),
    ("loaded", libdrag.loaded, {"free_m_s": 1.62, "loaded_m_s": 1.41, "load_N": 45.0, "load_sd_N": 2.0,
                                "coefficients": {}, **RUN}),
    ("loaded by time", libdrag.loaded, {"free_s": 15.4, "loaded_s": 17.6, "distance_m": 25.0, "by": "pads",
                                        "load_N": 45.0}),
    ("loaded by tow", libdrag.loaded, {"free_s": 15.4, "loaded_s": 13.8, "distance_m": 25.0, "tow_N": 40.0}),
    ("progress", libdrag.progress, {"path": SEASON, "name": "Mia", "body": BODY, "stroke": "crawl",
                                    "event": "100 free", "time_s": 62.4, "course": "scm", **RUN}),
    ("measured", libdrag.measured, {"path": SEASON, "name": "Mia", "body": BODY, **PRICED, "hip_drop_deg": 4.0,
                                    "hip_drop_sd_deg": 1.0, "pool": False, **RUN}),
    ("measured by depth", libdrag.measured, {"path": SEASON, **PRICED, "body": BODY, "hip_drop_m": 0.06,
                                             "hip_drop_sd_m": 0.02, "draws": 100}),
    ("trials", libdrag.trials, {"path": SWUM, "name": "", "distance_m": 25.0, "by": "pads", "stroke": "crawl"}),
    ("trials with a race", lambda **k: libdrag.trials(TODAY, distance_m=25, **k),
     {"body": BODY, **PRICED, "hip_drop_deg": 4.0, "hip_drop_sd_deg": 1.0, **RUN}),
    ("trials by depth", lambda **k: libdrag.trials(TODAY, distance_m=25, body=BODY, **PRICED, draws=100, **k),
     {"hip_drop_m": 0.06, "hip_drop_sd_m": 0.02}),
    ("design", libdrag.design, {"body": BODY, **PRICED, "hip_drop_deg": 4.0, "hip_drop_sd_deg": 1.0,
                                "how": ["snorkel", "every-2"], "distance_m": 25.0, "by": "pads", "swims": 2,
                                "days": [1], **RUN}),
    ("design by depth", libdrag.design, {"body": BODY, **PRICED, "hip_drop_m": 0.06, "hip_drop_sd_m": 0.02,
                                         "swims": 2, "days": 1, "record": SEASON, "name": "Mia", "draws": 100}),
    ("cost by record", libdrag.cost, {"body": BODY, **RACE, "record": SEASON, "name": "Mia", "draws": 100}),
    ("aids by record", libdrag.aids, {"body": BODY, "speed_m_s": 1.5, "record": SEASON, "name": "Mia", "draws": 100}),
    ("stroke by record", libdrag.stroke, {"body": BODY, "speed_m_s": 1.5, "record": SEASON, "name": "Mia",
                                          "draws": 100}),
    ("compare", libdrag.compare, {"body": BODY, **PRICED, "hip_drop_deg": 4.0, "hip_drop_sd_deg": 1.0,
                                  "head_lift_deg": 10.0, "steady_drop_deg": 2.0, "leg_angle_deg": 8.0,
                                  "instead": "every-4", "aids": Belt(1), **RUN}),
    ("compare by depth", libdrag.compare, {"body": BODY, **PRICED, "hip_drop_m": 0.06, "hip_drop_sd_m": 0.02,
                                           "steady_drop_m": 0.02, "record": SEASON, "name": "Mia", "draws": 100}),
    ("compare by lift", libdrag.compare, {"body": BODY, **PRICED, "head_lift_m": 0.06, "steady_drop_m": 0.02, **RUN}),
    ("draw", libdrag.draw, {"body": SWIM, "hip_drop_deg": 4.0, "head_lift_deg": 10.0, "posture": "streamlined",
                            "view": "front", **RUN}),
    ("draw by depth", libdrag.draw, {"body": BODY, "hip_drop_m": 0.06, "head_lift_m": 0.06, "view": "side"}),
    ("card", libdrag.card, {"body": BODY, **PRICED, "hip_drop_deg": 4.0, "hip_drop_sd_deg": 1.0, "when": "breath",
                            "given": "with", "start_underwater_m": 10.0, "turn_underwater_m": 5.0, **WORN,
                            "date": "2026-11-26", "all_events": False, **RUN}),
    ("card by depth", libdrag.card, {"body": BODY, **PRICED, "hip_drop_m": 0.06, "hip_drop_sd_m": 0.02, "record": SEASON,
                                     "name": "Mia", "draws": 100}),
    ("card by lift", libdrag.card, {"body": BODY, **PRICED, "head_lift_m": 0.06, "draws": 100}),
    ("card of a medley", libdrag.card, {"body": BODY, "event": "200 IM", "time_s": 150.0, "head_lift_deg": 10.0,
                                        "splits_s": [34.0, 40.0, 42.0, 34.0], "draws": 100}),
    ("card of a squad", libdrag.card, {"body": SQUAD, "out": os.path.join(PLACE.name, "cards"), "overwrite": True,
                                       "draws": 100}),
    ("practice", libdrag.practice, {"body": BODY, **PRICED, "minutes": 45, "pool_m": 25.0, "work": "race",
                                    "aids": Snorkel(), "hip_drop_deg": 4.0, "hip_drop_sd_deg": 1.0, **RUN}),
    ("practice by depth", libdrag.practice, {"body": BODY, **PRICED, "minutes": 45, "pool_m": 25.0, "hip_drop_m": 0.06,
                                             "hip_drop_sd_m": 0.02, "record": SEASON, "name": "Mia", "draws": 100}),
]  # fmt: skip

BY_NAME = {name: (call, kwargs) for name, call, kwargs in CALLS}

# Made by the library, not by its users; `with_units` wraps whatever it is given; an `Aid` is one of its
# kinds.
NOT_CALLED = {
    "ActiveDrag", "Aid", "AidEffect", "AidsResult", "Balance", "BreathShares", "Contribution", "Cost",
    "Costs", "Drag",
    "Estimate", "Evidence", "EvidenceRow", "FrozenError", "HeadLift", "ImpliedDrop", "Input", "InvalidInput",
    "Inverse",
    "LegCost", "LoadEffect", "LungVolumes", "Motion", "Moved", "PassiveDrag", "PosedBody", "Propagated",
    "Source", "Sources",
    "Appended", "FarOut", "FilmEstimate", "FilmFile", "Gap", "GlideEstimate", "GlideFit", "GlideRatio",
    "Design", "DesignRow", "Fit", "Learnt", "Measured", "NextMeasurement", "HeldGlides", "LoadedEstimate", "LoadedSwims", "PoolTestPlan", "Progress", "ProgressLevel", "RaceResult",
    "Card", "CardRace", "Comparison", "Picture", "Rival", "Practice", "PracticeLine", "PracticePart", "PracticeRule", "PracticeSwim", "PracticeWay",
    "Record", "Remark", "SeenDrop", "TimedSwim", "Watch",
    "SpheroidAddedMass", "StrokeCycle", "Uncertain", "UnknownKey", "WantedLoad", "WaveResistance",
    "dimension_list",
    "with_units",
}  # fmt: skip


def interval_too(drag):
    """Options of the Monte Carlo are looked at when the interval is asked for at the latest."""
    assert drag.low_N is not None
    return drag


def test_every_public_callable_is_tried():
    public = {
        name
        for name in libdrag.__all__
        if not name.startswith("_") and name != "plot" and callable(getattr(libdrag, name))
    }
    tried = {name.split()[0].split(".")[0] for name, _, _ in CALLS}
    assert public <= tried | NOT_CALLED, public - tried - NOT_CALLED
    assert tried <= public, tried - public
    # and every parameter of those that have a signature of their own
    for name in sorted(tried - NOT_CALLED):
        signature = inspect.signature(getattr(libdrag, name))
        given = {key for call, _, kwargs in CALLS if call.split()[0] == name for key in kwargs}
        missing = {
            key
            for key, parameter in signature.parameters.items()
            if parameter.kind is not inspect.Parameter.VAR_KEYWORD and key not in given
        }
        assert not missing, (name, missing)


@pytest.mark.parametrize("name, call, kwargs", CALLS, ids=[name for name, _, _ in CALLS])
def test_the_table_of_calls_works(name, call, kwargs):
    refused = {
        "read_swimmer",
        "Swimmer.save",
        "evidence",
        "evidence coefficients",
        "append_to_record",
    }  # cheap that way
    if name in refused:
        with pytest.raises((libdrag.InvalidInput, libdrag.UnknownKey)):
            call(**kwargs)
    else:
        call(**kwargs)


# --- what may come out ------------------------------------------------------------------------------

SOURCE_CODE = re.compile(
    r"std::|libdrag::|libdrag\._|pybind|handle|incompatible function arguments|Traceback|basic_string|nullopt"
    r"|\bC\+\+|_core|bad argument to internal function"
)


# Controls, line and paragraph separators, overrides of the direction, halves of characters.
UNFIT = re.compile("[\0-\x1f\x7f-\x9f\u2028-\u202e\u2066-\u2069\ud800-\udfff]")


def judged(error):
    """What is wrong with an exception; None if it is one that a user may meet."""
    if not isinstance(error, (ValueError, TypeError, KeyError)):
        return f"{type(error).__name__}: {error!s:.160}"
    try:
        text = str(error)
    except Exception as worse:
        return f"a message that cannot be shown: {type(error).__name__}, {worse!r:.80}"
    if not text or UNFIT.search(text) or len(text) >= 450:
        return f"not one printable line below 450 characters: {type(error).__name__}: {text[:160]!r}"
    if SOURCE_CODE.search(text):
        return f"names of the source code: {type(error).__name__}: {text[:160]}"
    return None


# --- junk -------------------------------------------------------------------------------------------


class Hostile:
    """Answers the named questions with an error of its own."""

    def __init__(self, *names):
        self.__class__ = type("Hostile", (), {name: Hostile.fail for name in names})

    def fail(self, *args, **kwargs):
        raise RuntimeError("an error of the object's own")


class OwnMagnitude:
    """A quantity whose magnitude is a quantity whose magnitude ..."""

    units = "m"
    unitless = dimensionless = False

    @property
    def magnitude(self):
        return self

    def to(self, unit):
        return self


class OddQuantity:
    """Looks like a quantity, and is none."""

    units, magnitude, unitless, dimensionless = "m", "zz", "x", "y"

    def to(self, unit):
        return self


class OddArray:
    """Looks like an array, and is none."""

    ndim, shape, dtype, size = "x", None, "y", -1


class LongerThanItIs(list):
    """A list that says it has more elements than it has."""

    def __len__(self):
        return 20


def recursive():
    out = [1.0]
    out.append(out)
    return out


# Name: a function that makes it. Those in NUMBERS are numbers or arrays of them, which a numeric parameter
# may take.
NUMBERS = {
    "nan": lambda: math.nan,
    "inf": lambda: math.inf,
    "minus inf": lambda: -math.inf,
    "1e308": lambda: 1e308,
    "minus one": lambda: -1,
    "int of 400 digits": lambda: 10**400,
    "numpy longdouble": lambda: np.longdouble(3),
    "numpy nan": lambda: np.float32(math.nan),
    "numpy 0-d": lambda: np.array(3.0),
    "empty list": lambda: [],
    "empty array": lambda: np.zeros((0,)),
    "array of shape (2, 0)": lambda: np.zeros((2, 0)),
    "array of zeros": lambda: np.zeros((2, 1, 2)),
    "array of nan": lambda: np.full(3, math.nan),
    "array of longdoubles": lambda: np.ones(3, np.longdouble),
    "array of 31 axes": lambda: np.ones((1,) * 31),
    "list of nan": lambda: [math.nan, 1.0],
    "list of huge ints": lambda: [10**400, 1],
    "pandas series": lambda: pd.Series([1.0, 2.0], index=[5, 9]),
    "pandas frame": lambda: pd.DataFrame({"a": [1.0, 2.0]}),
    "memoryview": lambda: memoryview(b"abc"),
    "longer than it is": lambda: LongerThanItIs([1.0]),
    "decimal": lambda: decimal.Decimal("3.5"),
    "fraction": lambda: fractions.Fraction(7, 2),
}
JUNK = {
    "none": lambda: None,
    "true": lambda: True,
    "numpy true": lambda: np.True_,
    "complex": lambda: 1 + 2j,
    "bytes": lambda: b"172cm",
    "ellipsis": lambda: ...,
    "object": object,
    "type": lambda: float,
    "function": lambda: len,
    "module": lambda: math,
    "generator": lambda: (x for x in (1.0, 2.0)),
    "range": lambda: range(2),
    "set": lambda: {1.0},
    "dict": lambda: {"a": 1.0},
    "datetime": lambda: datetime.datetime(2020, 1, 2),
    "timedelta": lambda: datetime.timedelta(seconds=62),
    # text
    "no text": lambda: "",
    "words": lambda: "fast and level",
    "text nan": lambda: "nan",
    "NUL": lambda: "1\0",
    "line feed": lambda: "a\nb",
    "control characters": lambda: "\x1b[31m\x7f\x9b",
    "right to left": lambda: "\u202e\u2028m",
    "emoji": lambda: "🏊🏽 100 free ✓",
    "invisible characters": lambda: "100\u200d\u200b\ufeff\u2066 free",
    "other digits": lambda: "٣cm",
    "comma": lambda: "1,5 m",
    "format": lambda: "%s%n{0}{}",
    "surrogate": lambda: "\ud800",
    "surrogate inside": lambda: "172\udcffcm",
    "very long text": lambda: "x" * 20000,
    "very long number": lambda: "9" * 20000,
    "numpy text": lambda: np.str_("zz"),
    # lists and arrays
    "list of none": lambda: [None, 1.0],
    "list of texts": lambda: ["a\nb", "\x1b"],
    "list of surrogates": lambda: ["\ud800", "\udfff"],
    "list of bools": lambda: [True, False],
    "ragged list": lambda: [[1.0], [1.0, 2.0]],
    "recursive list": recursive,
    "list of dicts": lambda: [{}, {}],
    "list of objects": lambda: [object()],
    "array of bools": lambda: np.array([True, False]),
    "array of complex": lambda: np.array([1j, 2.0]),
    "array of objects": lambda: np.array([None, object()], dtype=object),
    "array of texts": lambda: np.array(["a", "bb"]),
    "array of bytes": lambda: np.array([b"1", b"2"]),
    "0-d array of text": lambda: np.array("zz"),
    "0-d array of objects": lambda: np.array(None, dtype=object),
    "datetime64": lambda: np.datetime64("2020-01-02"),
    "array of datetime64": lambda: np.array([62], "M8[s]"),
    "array of datetime64 in ns": lambda: np.array([62], "M8[ns]"),
    "timedelta64": lambda: np.timedelta64(62, "s"),
    "timedelta64 in ns": lambda: np.timedelta64(62, "ns"),
    "array of timedelta64": lambda: np.array([62], "m8[s]"),
    "array of timedelta64 in ns": lambda: np.array([62], "m8[ns]"),
    "structured array": lambda: np.ones(2, dtype=[("a", float), ("b", "i4")]),
    "numpy void": lambda: np.void(b"abcd"),
    "matrix of texts": lambda: np.array([["x"] * 3] * 30),
    # pandas
    "pandas series of texts": lambda: pd.Series(["a", "b"]),
    "pandas series of times": lambda: pd.Series(pd.to_datetime(["2020-01-01"])),
    "pandas series of durations": lambda: pd.Series(pd.to_timedelta([62], unit="s")),
    "pandas categorical": lambda: pd.Categorical(["a", "b"]),
    "pandas frame of objects": lambda: pd.DataFrame({"a": ["x", None], "b": [1, 2]}),
    "pandas NA": lambda: pd.NA,
    "pandas NaT": lambda: pd.NaT,
    "pandas timedelta": lambda: pd.Timedelta("62s"),
    "pandas index": lambda: pd.Index(["a"]),
    # objects with errors of their own
    "fails as a number": lambda: Hostile("__float__", "__int__", "__index__"),
    "fails as an array": lambda: Hostile("__array__", "__array_interface__", "__array_struct__"),
    "fails when counted": lambda: Hostile("__len__", "__iter__", "__getitem__"),
    "fails when compared": lambda: Hostile("__eq__", "__hash__", "__bool__", "__contains__"),
    "fails at attributes": lambda: Hostile("__getattr__"),
    "fails as text": lambda: Hostile("__str__", "__repr__", "__format__"),
    "odd quantity": OddQuantity,
    "quantity of itself": OwnMagnitude,
    "odd array": OddArray,
}


class FailsAsText(float):
    """A float that cannot be shown."""

    __repr__ = __str__ = __format__ = Hostile.fail


ALL_JUNK = {**NUMBERS, **JUNK, "number that fails as text": lambda: FailsAsText(-1.0)}

# Parameters that take what most others refuse: name of the junk, and "call.parameter".
FREE_TEXT = ("Swim.name", "Swimmer.name", "Swimmer.record", "Swimmer.save.path", "read_swimmer.path", "propagate by name.name",
             "PoolTest.set", "PoolTest of a swim.note", "trials.name", "Glide.set", "append_to_record of swims.set",
             "append_to_record of a name.name", "append_to_record of a name.note", "append_to_record of a film.film")  # fmt: skip
YES_OR_NO = re.compile(
    r"\.(within_stroke|overwrite|all_events|child|shortest|turns?|left_out|above_water|pool)$"
)
WELCOME = {
    # any iterable
    *((junk, where) for junk in ("generator", "range", "set") for where in ("what_if.drops_deg",
                                                                            "Input.choice.weights")),
    *((junk, "Input.choice.weights") for junk in ("list of bools", "array of bools")),
    # any function; a dictionary of outputs, yes or no for each draw
    ("function", "propagate.model"),
    *((junk, "propagate answer.answer") for junk in ("dict", "true", "numpy true")),
    # the default by another name
    ("none", "Composition.lungs"), ("none", "Composition of gas.lungs"), ("none", "PoolTest of a swim.strokes"),
    ("no text", "read_record by name.name"), ("no text", "progress.name"),
    *(("no text", where) for where in ("measured.name", "trials.name", "design by depth.name", "compare by depth.name", "cost by record.name",
                                      "aids by record.name", "stroke by record.name",
                                      "practice by depth.name", "card by depth.name")),
    # what they are for
    ("structured array", "to_pandas.result"), ("structured array", "to_xarray.result"),
}  # fmt: skip
# No coefficients at all: a second of evidence.
SLOW = {
    ("evidence coefficients", junk) for junk in ("none", "empty list", "empty array", "no text", "numpy void")
}


def may_be_taken(call, kwargs, parameter, junk):
    """Whether a call with this junk may give an answer at all; else it has to be refused."""
    where = f"{call}.{parameter}"
    if YES_OR_NO.search(where) or (junk, where) in WELCOME or call == "propagate by name":
        return True
    if junk in NUMBERS or junk == "number that fails as text":
        return True  # a number: whether its answer is a good one is looked at below
    if junk == "range":  # the numbers of a list
        return tried_as_list(call, parameter)
    if junk in ("none", "list of none", "0-d array of objects") and default_is_none(call, parameter):
        return junk == "none" or call.startswith(("cost", "sweep", "what_if")) or kwargs[parameter] is None
    return where in FREE_TEXT and isinstance(JUNK[junk](), str)


def tried_as_list(call, parameter):
    function, kwargs = BY_NAME[call]
    try:
        function(**{**kwargs, parameter: list(JUNK["range"]())})
    except (ValueError, TypeError, KeyError):
        return False
    return True


@functools.lru_cache(maxsize=None)
def default_is_none(call, parameter):
    target = getattr(libdrag, call.split()[0].split(".")[0])
    if "." in call.split()[0]:
        target = getattr(target, call.split()[0].split(".")[1], target)
    if call.startswith(("sweep", "what_if", "wanted_gain", "implied_hip_drop")):
        target = libdrag.cost
    if call == "Input.normal":
        return False
    known = inspect.signature(target).parameters
    return parameter in known and known[parameter].default is None


def attempts():
    """(junk, call, parameter) of all combinations, a parameter of one callable once."""
    once = {}
    for name, _, kwargs in CALLS:
        for parameter in kwargs:
            once.setdefault((name.split()[0] if name[0].islower() else name, parameter), (name, parameter))
    for junk in ALL_JUNK:
        for name, parameter in once.values():
            if YES_OR_NO.search(f".{parameter}") and junk not in (
                "none",
                "words",
                "nan",
                "empty array",
                "fails when compared",
            ):
                continue  # anything is true or false
            if (name, junk) in SLOW:
                continue
            if junk == "fails when compared" and name in ("Swim coefficient", "propagate by name"):
                continue  # a dictionary of it fails before the library sees it
            yield junk, name, parameter


def tried(junk, call, parameter):
    """What came of it: None if all is well, else what is wrong."""
    function, kwargs = BY_NAME[call]
    try:
        function(**{**kwargs, parameter: ALL_JUNK[junk]()})
    except BaseException as error:  # judged, not hidden
        return judged(error)
    return None if may_be_taken(call, kwargs, parameter, junk) else "taken without a word"


def walk_junk(first):
    """In a process of its own: a line before and after each attempt, from attempt number `first` on."""
    import warnings

    warnings.simplefilter("ignore")
    np.seterr(all="ignore")
    signal.signal(signal.SIGALRM, signal.SIG_DFL)  # ends the process: none but a hang takes so long
    for number, attempt in enumerate(attempts()):
        if number < first:
            continue
        print(number, flush=True)
        signal.alarm(1200)
        wrong = tried(*attempt)
        if wrong:
            print(json.dumps([number, wrong]), flush=True)


def elsewhere(folder):
    """How to run this file's functions in another process and folder."""
    path = os.pathsep.join(filter(None, [os.path.dirname(os.path.abspath(__file__)), *sys.path]))
    return {"cwd": folder, "capture_output": True, "text": True, "env": {**os.environ, "PYTHONPATH": path}}


@pytest.fixture(scope="session")
def all_tried(tmp_path_factory):
    """{junk: [what is wrong]} of every attempt, each made in a process whose death is a finding."""
    tmp = tmp_path_factory.mktemp("junk")
    listed = list(attempts())
    found = {junk: [] for junk in ALL_JUNK}
    deaths = {junk: 0 for junk in ALL_JUNK}
    first = 0
    while first < len(listed):
        run = subprocess.run(
            [sys.executable, "-c", f"import test_bad_input as t; t.walk_junk({first})"], **elsewhere(tmp)
        )
        lines = [json.loads(line) for line in run.stdout.splitlines()]
        for line in lines:
            if isinstance(line, list):
                found[listed[line[0]][0]].append((*listed[line[0]][1:], line[1]))
        numbers = [line for line in lines if isinstance(line, int)]
        assert numbers, run.stderr
        if run.returncode == 0:
            break
        junk, call, parameter = listed[numbers[-1]]
        found[junk].append((call, parameter, f"the process died with {run.returncode}: {run.stderr[-160:]}"))
        deaths[junk] += 1
        first = numbers[-1] + 1
        if deaths[junk] == 3:  # the picture is clear
            first = next((i for i in range(first, len(listed)) if listed[i][0] != junk), len(listed))
    return found


@pytest.mark.parametrize("junk", ALL_JUNK)
def test_junk_is_answered_or_refused_in_one_line(all_tried, junk):
    wrong = all_tried[junk]
    assert not wrong, f"{len(wrong)} calls, among them\n" + "\n".join(map(str, wrong[:12]))


# The name of a number is the user's own text, where it is the key of a dictionary.
@pytest.mark.parametrize("value", [(1, 2), "x", None, b"1", 1e999, 1.0], ids=repr)
@pytest.mark.parametrize("key", ["a\nb", "\x95", "\u202em", "k" * 5000])
def test_a_key_of_junk_is_one_line(key, value):
    for call in (lambda: Body("f", 1.72, 63, {key: value}), lambda: Swim(BODY, coefficients={key: value})):
        with pytest.raises((ValueError, TypeError, KeyError)) as caught:
            call()
        assert judged(caught.value) is None


# --- junk by chance ---------------------------------------------------------------------------------

CHARACTERS = st.characters(blacklist_categories=())  # with lone surrogates
PLAIN = st.one_of(
    st.none(), st.booleans(), st.integers(-(10**9), 10**9), st.integers(), st.just(10**400), st.floats(),
    st.complex_numbers(),
    st.binary(max_size=8), st.text(CHARACTERS, max_size=12), st.decimals(allow_nan=False), st.fractions(),
    st.dates(), st.timedeltas(),
    st.sampled_from(["172cm", "5ft8in", "4deg", "1:02.40", "27C", "1.5m/s", "63kg", "every-2", "0x1p3m",
                     "-4deg", "1e999m",
                     "nan", "", "fly=every-1", "tilt.slope", "100 free", "400 IM", "scy", "with", "f",
                     "mean-of=3", "x1.5"]),
)  # fmt: skip
DTYPES = st.sampled_from(
    ["f8", "f4", "f2", ">f8", "g", "i4", "u1", "b1", "c16", "M8[s]", "m8[ns]", "U3", "S3", "f8,i4", "O"]
)


@st.composite
def arrays(draw):
    shape = draw(st.lists(st.integers(0, 3), max_size=3))
    numbers = draw(st.lists(st.integers(-5, 300), min_size=27, max_size=27))
    out = np.array(numbers[: math.prod(shape)]).reshape(shape)
    dtype = draw(DTYPES)
    return np.zeros(shape, dtype) if "," in dtype else out.astype(dtype)


ANYTHING = st.recursive(
    PLAIN | arrays(),
    lambda inner: st.lists(inner, max_size=3)
    | st.dictionaries(st.text(max_size=5) | st.integers(), inner, max_size=2)
    | st.tuples(inner, inner),
    max_leaves=6,
)


@settings(
    max_examples=300, deadline=None, derandomize=True, database=None, suppress_health_check=list(HealthCheck),
    phases=[Phase.generate], report_multiple_bugs=False,
)  # fmt: skip
@given(st.data())
def anything_goes(data):
    name, call, kwargs = CALLS[
        data.draw(st.sampled_from(range(len(CALLS))))
    ]  # who shows a call shows its data frame
    given_ = dict(kwargs)
    for parameter in data.draw(
        st.lists(st.sampled_from(sorted(kwargs) or [""]), min_size=1, max_size=3, unique=True)
    ):
        if parameter:
            value = data.draw(ANYTHING, label=f"{name}.{parameter}")
            many = parameter == "draws" and isinstance(value, int) and value > 5000
            given_[parameter] = 5000 if many else value
    try:
        with np.errstate(all="ignore"):
            call(**given_)
    except Exception as error:
        wrong = judged(error)
        assert wrong is None, wrong


# In a process of its own, where a crash is a failure and not the end.
def test_anything_is_answered_or_refused_in_one_line(tmp_path):
    code = "import warnings; warnings.simplefilter('ignore'); import test_bad_input as t; t.anything_goes()"
    done = subprocess.run([sys.executable, "-X", "faulthandler", "-c", code], **elsewhere(tmp_path))
    assert done.returncode == 0, done.stderr[-3000:]


# --- numbers that are none --------------------------------------------------------------------------


def numbers_in(result):
    """All floats of a result, flat."""
    if isinstance(result, str):
        return [math.nan] if result == "nan" else []
    if isinstance(result, (bool, np.bool_)) or result is None:
        return []
    if isinstance(result, (int, float)):
        return [float(result)]
    if isinstance(result, np.ndarray):
        if result.dtype.names:
            return [x for name in result.dtype.names for x in numbers_in(result[name])]
        return result.ravel().tolist() if result.dtype.kind == "f" else []
    if isinstance(result, (libdrag.PassiveDrag, libdrag.ActiveDrag)):
        return numbers_in(result.to_records())
    if isinstance(result, (list, tuple)):
        return [x for part in result for x in numbers_in(part)]
    if isinstance(result, dict):
        return [x for part in result.values() for x in numbers_in(part)]
    if isinstance(result, libdrag.Water):
        return numbers_in([result.temperature_c, result.density_kg_m3, result.viscosity_Pa_s])
    if isinstance(result, (Area, DragCoefficient)):
        return numbers_in(result.m2 if isinstance(result, Area) else result.value)
    if isinstance(result, libdrag.Propagated):
        return numbers_in(result.estimate[:3])
    if isinstance(result, (libdrag.Aid, Composition)):  # looked at when it is used, below
        return numbers_in([getattr(result, field.name) for field in dataclasses.fields(result)])
    return [0.0]  # any other result is one that should not have been made


NUMERIC = [
    (name, call, kwargs, key)
    for name, call, kwargs in CALLS
    for key, value in kwargs.items()
    if isinstance(value, float) and name != "evidence"
]


# By definition: what depends on no number is no number. An infinite speed or time is as little a measurement.
@pytest.mark.parametrize(
    "name, call, kwargs, key", NUMERIC, ids=[f"{name}.{key}" for name, _, _, key in NUMERIC]
)
def test_no_number_in_no_number_out(name, call, kwargs, key):
    for junk in (math.nan, np.float64(math.nan), np.array(math.nan)):
        try:
            with np.errstate(all="ignore"):
                result = numbers_in(call(**{**kwargs, key: junk}))
        except (ValueError, TypeError) as error:
            assert judged(error) is None
            continue
        assert any(math.isnan(x) for x in result), result


@pytest.mark.parametrize("worn", [
    {"aids": Belt(math.nan)}, {"aids": Belt(2.0, math.nan)}, {"aids": DragShorts(math.nan)},
    {"aids": Drogue(math.nan)},
    {"aids": Tether(math.nan)}, {"aids": Buoy(math.nan)}, {"aids": Sleeve(0.002, math.nan)},
    {"aids": Belt(2.0), "composition": Composition(math.nan)},
])  # fmt: skip
def test_no_number_is_worn(worn):
    for call in (libdrag.drag, libdrag.stroke):
        with pytest.raises(libdrag.InvalidInput) as caught:
            call(BODY, 1.5, draws=100, **worn)
        assert judged(caught.value) is None and "nan" in str(caught.value)


@pytest.mark.parametrize("age", [math.nan, -1, 200, "200y"])
def test_an_age_that_cannot_be_is_refused_at_once(age):
    with pytest.raises(libdrag.InvalidInput, match="age: got .*; allowed: 5 to 100"):
        Composition(age_years=age)


def test_a_swim_is_in_water_of_one_temperature():
    for kind in ("fresh", "sea"):
        for wrong in (math.nan, [20.0, 27.0], [27.0]):
            with pytest.raises(libdrag.InvalidInput, match="temperature"):
                Swim(BODY, water=libdrag.water(wrong, kind=kind))


def test_no_number_has_no_price():
    with pytest.raises(libdrag.InvalidInput, match="nan"):
        libdrag.sweep(BODY, event="100 free", time_s=[60.0, math.nan], hip_drop_deg=4, draws=100)


# A sample with a NaN in it has no order, and so no interval (JCGM 101:2008, 7.7).
def test_a_sample_with_a_hole_has_no_interval():
    sample = np.arange(1000.0)
    sample[123] = math.nan
    for shortest in (False, True):
        try:
            got = libdrag.interval(sample, shortest=shortest)
        except ValueError as error:
            assert judged(error) is None
        else:
            assert all(map(math.isnan, got[:3])), got


# --- the element, the shapes, the options -----------------------------------------------------------


# The contract of the docstrings: "Naming the first element that is outside what is allowed", "Naming the
# element at fault".
@pytest.mark.parametrize("call, words", [
    (lambda: libdrag.passive_drag(BODY, [[1.0, 2.0], [3.0, 9.0]]),
     ["speed at [1, 1]", "9 m/s", "0.1 m/s to 4 m/s"]),
    (lambda: libdrag.passive_drag(BODY, np.full(50000, 9.0)), ["speed at [0]", "9 m/s"]),
    (lambda: libdrag.passive_drag(BODY, [[1.0], [2.0]], [5.0, 95.0]),
     ["incline at [0, 1]", "95 deg", "0 deg to 60 deg"]),
    (lambda: libdrag.active_drag(BODY, 1.5, depth_m=[0.0, -1.0]), ["depth at [1]", "-1 m", "0 m to 5 m"]),
    (lambda: libdrag.tilt_ratio(BODY, [1.0, 61.0]), ["at [1]", "61 deg", "0 deg to 60 deg"]),
    (lambda: BODY.projected_area_m2([0.0, 90.0]), ["incline at [1]", "90 deg", "-10 deg to 60 deg"]),
    (lambda: libdrag.water([20.0, 99.0]), ["temperature at [1]", "99", "0 C to 60 C"]),
    (lambda: libdrag.sweep(BODY, event="100 free", time_s=[[60.0, 61.0], [62.0, 1.0]], hip_drop_deg=4,
                           draws=100),
     ["time", "at [1, 1]", "1.00", "45.05 to 8:20.00"]),
    (lambda: libdrag.cost(BODY, event="100 free", time_s=62.4, hip_drop_deg=[[1.0, 2.0], [95.0, 3.0]],
                          draws=100),
     ["hip drop", "at [1, 0]", "95 deg", "0 deg to 45 deg"]),
    (lambda: libdrag.sweep(BODY, event=["100 free", "100 fre"], time_s=62.4, hip_drop_deg=4, draws=100),
     ["event", "[1]", "100 fre", "did you mean 100 free"]),
])  # fmt: skip
def test_the_element_at_fault_is_named(call, words):
    with pytest.raises((ValueError, TypeError, KeyError)) as caught:
        call()
    assert judged(caught.value) is None
    for word in words:
        assert word in str(caught.value), str(caught.value)


# Common practice, NumPy's rules: axes are equally long, or one of them is 1.
@pytest.mark.parametrize("call, words", [
    (lambda: libdrag.passive_drag(BODY, [1.0, 2.0], [1.0, 2.0, 3.0]), ["speed, incline", "(2,)", "(3,)"]),
    (lambda: libdrag.froude(np.ones((2, 3)), np.ones((3, 2))), ["speed, length", "(2, 3)", "(3, 2)"]),
    (lambda: libdrag.advance([70.0, 71.0], 40.0, 25.0, 1.5, [0.1, 0.2, 0.3]),
     ["mass, duration", "(2,)", "(3,)"]),
    (lambda: libdrag.cost([BODY] * 2, event="100 free", time_s=[60.0] * 3, hip_drop_deg=4),
     ["body, time", "(2,)", "(3,)"]),
    (lambda: libdrag.periodic_motion(70, [0.5, 0.5], [60.0, 50.0, 40.0], 25.0),
     ["duration, thrust", "(2,)", "(3,)"]),
    (lambda: libdrag.periodic_motion(70, [[0.5, 0.5]], [60.0, 40.0], 25.0),
     ["duration", "one entry for each phase"]),
])  # fmt: skip
def test_shapes_that_do_not_fit_are_named(call, words):
    with pytest.raises(libdrag.InvalidInput) as caught:
        call()
    assert judged(caught.value) is None
    for word in words:
        assert word in str(caught.value), str(caught.value)


# One value is one value: no array where a body, a posture or a swim has room for a single number.
@pytest.mark.parametrize("name, key", [
    ("Body", "stature_m"), ("Body", "mass_kg"), ("Body measured", "chest_girth_m"), ("Posture", "roll_deg"),
    ("Swim", "k_kg_m"),
    ("Swim", "incline_deg"), ("drag", "speed_m_s"), ("stroke", "cycle_s"), ("balance by rise", "head_lift_m"),
    ("Belt", "at_m"),
    ("wanted_gain", "gain_s"), ("format_time", "time_s"), ("drag", "level"), ("periodic_motion", "mass_kg"),
])  # fmt: skip
def test_one_value_is_not_many(name, key):
    call, kwargs = BY_NAME[name]
    for many in ([kwargs[key]] * 2, np.full((1,), kwargs[key]), np.full((2, 2), kwargs[key])):
        with pytest.raises((TypeError, ValueError)) as caught:
            call(**{**kwargs, key: many})
        assert judged(caught.value) is None


# A mistake is reported where it is made, not when an interval is looked at later.
@pytest.mark.parametrize("wrong", [{"draws": -1}, {"level": 7.0}, {"seed": "one"}, {"population": "nobody"}])
def test_options_are_looked_at_in_the_call(wrong):
    for function in (libdrag.passive_drag, libdrag.active_drag):
        with pytest.raises((ValueError, TypeError)):
            function(BODY, 1.5, **wrong)


# A yes or a no is no text: "no" is as true as "yes".
@pytest.mark.parametrize("call", [
    lambda: libdrag.cost(BODY, **RACE, hip_drop_deg=4, draws=100, within_stroke="no"),
    lambda: libdrag.swimmer_added_mass_kg(63, child="no"),
    lambda: libdrag.interval(np.arange(200.0), shortest="no"),
])  # fmt: skip
def test_text_is_no_yes(call):
    with pytest.raises((ValueError, TypeError)) as caught:
        call()
    assert judged(caught.value) is None


# Several threads at once: each is told about its own mistake.
def test_threads_get_their_own_messages():
    inclined = Swim(BODY, incline_deg=5)

    def attempt(i):
        with pytest.raises(libdrag.InvalidInput) as caught:
            libdrag.passive_drag(inclined, np.r_[np.full(9000, 1.5), 5.0 + i, np.full(9000, 1.5)])
        return str(caught.value)

    with ThreadPoolExecutor(8) as pool:
        messages = list(pool.map(attempt, range(64)))
    assert messages == [f"speed at [9000]: got {5 + i} m/s; allowed: 0.1 m/s to 4 m/s" for i in range(64)]


# --- the same sentence as the command line ----------------------------------------------------------

WHO = ["--sex", "f", "--height", "172cm", "--mass", "63kg"]
MAIN = ["cost", "--event", "100 free", "--time", "1:02.40", *WHO, "--hip-drop", "4deg"]
DRAG = ["drag", "--speed", "1.5mps", *WHO]
OTHER = object()


def complaint(args):
    done = subprocess.run([DRAGCALC, *args], stdin=subprocess.DEVNULL, capture_output=True, text=True)
    assert done.returncode == 2 and done.stderr.startswith("dragcalc: "), done
    return done.stderr[len("dragcalc: ") : -1]


def typed(args, option, value):
    """The command line with one option's value replaced, or added."""
    out = list(args)
    if option in out:
        out[out.index(option) + 1] = value
        return out
    return [*out, option, value]


def body(**other):
    return lambda: Body(**{"sex": "f", "stature_m": "172cm", "mass_kg": "63kg", **other})


def price(**other):
    return lambda: libdrag.cost(
        BODY, **{"event": "100 free", "time_s": "1:02.40", "hip_drop_deg": "4deg", **other}
    )


def swim(**other):
    return lambda: libdrag.drag(Swim(BODY, **other), 1.5)


SAME = [
    (body(mass_kg="63N"), typed(MAIN, "--mass", "63N")),
    (body(mass_kg="20kg"), typed(MAIN, "--mass", "20kg")),
    (body(sex="femal"), typed(MAIN, "--sex", "femal")),
    (body(measured={"chest_grith": "90cm"}), typed(MAIN, "--dim", "chest_grith=90cm")),
    (body(measured={"chest_girth": "9m"}), typed(MAIN, "--dim", "chest_girth=9m")),
    (body(measured={"hip_height": "46cm"}), typed(MAIN, "--dim", "hip_height=46cm")),
    (price(time_s="1:2.4"), typed(MAIN, "--time", "1:2.4")),
    (price(time_s="38s"), typed(MAIN, "--time", "38s")),
    (price(hip_drop_deg="4kg"), typed(MAIN, "--hip-drop", "4kg")),
    (price(hip_drop_deg="95deg"), typed(MAIN, "--hip-drop", "95deg")),
    (price(hip_drop_deg="90cm"), typed(MAIN, "--hip-drop", "90cm")),
    (price(hip_drop_sd_deg="1cm"), typed(MAIN, "--hip-drop-sd", "1cm")),
    (price(event="100 fre"), typed(MAIN, "--event", "100 fre")),
    (price(event="100\nfree\x1b[2J"), typed(MAIN, "--event", "100\nfree\x1b[2J")),
    (price(event="9" * 5000), typed(MAIN, "--event", "9" * 5000)),
    (price(course="lcn"), typed(MAIN, "--course", "lcn")),
    (price(breathe="every-0"), typed(MAIN, "--breathe", "every-0")),
    (price(breathe="every-2,every-2,every-2"), typed(MAIN, "--breathe", "every-2,every-2,every-2")),
    (price(when="alwys"), typed(MAIN, "--when", "alwys")),
    (price(start_underwater_m="30m"), typed(MAIN, "--start-underwater", "30m")),
    (price(turn_underwater_m="6kg"), typed(MAIN, "--turn-underwater", "6kg")),
    (price(splits_s=[15, 16, 17, 14.4]), typed(MAIN, "--splits", "15,16,17,14.4")),
    (price(draws=99), typed(MAIN, "--draws", "99")),
    (price(level=2), typed(MAIN, "--level", "2")),
    (lambda: libdrag.drag(BODY, "1.5"), typed(DRAG, "--speed", "1.5")),
    (lambda: libdrag.drag(BODY, 25), typed(DRAG, "--speed", "25mps")),
    (lambda: libdrag.drag(BODY, 1.5, population="nobody"), typed(DRAG, "--for", "nobody")),
    (swim(stroke="craul"), typed(DRAG, "--stroke", "craul")),
    (swim(method="zz"), typed(DRAG, "--method", "zz")),
    (swim(posture="streamlned"), typed(DRAG, "--posture", "streamlned")),
    (swim(posture=Posture(roll_deg=3000)), typed(DRAG, "--roll", "3000deg")),
    (swim(incline_deg="95deg"), typed(DRAG, "--incline", "95deg")),
    (swim(k_kg_m="28N"), typed(DRAG, "--k", "28N")),
    (swim(coefficients={"tilt.slop": 2}), typed(DRAG, "--set", "tilt.slop=2")),
    (swim(coefficients={"tilt.slope": "2deg"}), typed(DRAG, "--set", "tilt.slope=2deg")),
    (swim(coefficients={"tilt.slope": (2, -1)}), typed(DRAG, "--set", "tilt.slope=2+--1")),
    (lambda: libdrag.water("27kg"), typed(DRAG, "--temperature", "27kg")),
    (lambda: libdrag.water("200C"), typed(DRAG, "--temperature", "200C")),
    (lambda: libdrag.drag(BODY, 1.5, aids=Belt("50kg")), typed(DRAG, "--belt", "50kg")),
    (lambda: Drogue("34kg"), typed(DRAG, "--drogue", "34kg")),
    (lambda: Composition("ful"), typed(DRAG, "--lungs", "ful")),
    (lambda: Composition(fat_percent=2), typed(DRAG, "--fat", "2%")),
    (lambda: libdrag.aids(BODY, 1.5, want="x0"), ["aids", "--speed", "1.5mps", *WHO, "--want", "x0"]),
    (lambda: libdrag.stroke(BODY, 1.5, cycle_s="60s"), ["stroke", "--speed", "1.5mps", *WHO, "--cycle",
                                                        "60s"]),
    (lambda: libdrag.balance(BODY, head_lift_deg="100deg"), ["balance", *WHO, "--head-lift", "100deg"]),
    (lambda: libdrag.wanted_gain(BODY, "0s", event="100 free", time_s=62.4, hip_drop_deg=4),
     typed(MAIN, "--want", "0s")),
    (lambda: libdrag.read_swimmer("/nowhere/ada.json"), ["body", "--swimmer", "/nowhere/ada.json"]),
    (lambda: libdrag.progress("/nowhere/squad.csv"), ["progress", "/nowhere/squad.csv"]),
    (lambda: libdrag.progress(SEASON, "Mya"), ["progress", SEASON, "--name", "Mya"]),
    (lambda: libdrag.progress(SEASON, "Mia", event="100 fly"), ["progress", SEASON, "--name", "Mia", "--event",
                                                                 "100 fly"]),
    (lambda: libdrag.progress(SEASON, stroke="fly"), ["progress", SEASON, "--stroke", "fly"]),
    (lambda: libdrag.append_to_record("/nowhere/squad.csv", "Mia", how="every-2", distance_m=25, time_s=14.5),
     ["log", "/nowhere/squad.csv", "--name", "Mia", "--how", "every-2", "--distance", "25m", "--time", "14.5"]),
    (lambda: libdrag.append_to_record("squad.csv", "Mia", how="evry-2", distance_m=25, time_s=14.5),
     ["log", "squad.csv", "--name", "Mia", "--how", "evry-2", "--distance", "25m", "--time", "14.5"]),
    (lambda: libdrag.append_to_record("squad.csv", "Mia", "drop", drop_deg="95deg"),
     ["log", "squad.csv", "--name", "Mia", "--kind", "drop", "--drop", "95deg"]),
    (lambda: libdrag.append_to_record("squad.csv", "Mia", "lap"), ["log", "squad.csv", "--name", "Mia", "--kind",
                                                                   "lap"]),
    (lambda: libdrag.measured(SEASON, event="100 free"), ["measured", SEASON, "--event", "100 free"]),
    (lambda: libdrag.measured(SEASON, event="100 fly", time_s=70), ["measured", SEASON, "--event", "100 fly",
                                                                    "--time", "70"]),
    (lambda: libdrag.trials(TODAY), ["trials", TODAY]),
    (lambda: libdrag.design(hip_drop_deg=4), ["design", "--hip-drop", "4deg"]),
    (lambda: libdrag.cost(BODY, event="100 free", time_s="1:02.40", record="/nowhere/squad.csv"),
     ["cost", "--event", "100 free", "--time", "1:02.40", *WHO, "--record", "/nowhere/squad.csv"]),
    (lambda: libdrag.angle("/nowhere/film.csv"), ["angle", "/nowhere/film.csv"]),
    (lambda: libdrag.angle(breaths=MARKED, side="both"), ["angle", "--shoulder", "412,310", "--hip", "290,322",
                                                          "--side", "both"]),
    (lambda: libdrag.angle(breaths=Frame((412, 310), (412, 310))), ["angle", "--shoulder", "412,310", "--hip",
                                                                    "412,310"]),
    (lambda: libdrag.loaded(free_m_s=1.62, loaded_m_s=1.41),
     ["loaded", "--free", "1.62m/s", "--loaded", "1.41m/s"]),
    (lambda: libdrag.loaded(free_m_s=1.41, loaded_m_s=1.62, load_N=45),
     ["loaded", "--free", "1.41m/s", "--loaded", "1.62m/s", "--load", "45N"]),
    (lambda: libdrag.glide(BODY, Glide([0, 1], [0.5, 2.0])), ["glide", "--points", "0s:0.5m,1s:2m", *WHO]),
    (lambda: libdrag.sources()["tilt.slop"], ["sources", "tilt.slop"]),
]  # fmt: skip


@pytest.mark.parametrize("call, args", SAME, ids=[" ".join(args[-2:])[:40] for _, args in SAME])
def test_the_sentence_of_the_command_line(call, args):
    with pytest.raises((ValueError, TypeError, KeyError)) as caught:
        call()
    assert judged(caught.value) is None
    assert str(caught.value) == complaint(args)


# Where a parameter is called otherwise than the option: what was given, and what is allowed, are the same.
@pytest.mark.parametrize("call, args", [
    (body(stature_m="50cm"), typed(MAIN, "--height", "50cm")),
    (body(stature_m="63kg"), typed(MAIN, "--height", "63kg")),
    (body(stature_m="172"), typed(MAIN, "--height", "172")),
    (body(stature_m="5ft13in"), typed(MAIN, "--height", "5ft13in")),
    (body(stature_m="172,5cm"), typed(MAIN, "--height", "172,5cm")),
    (body(stature_m=""), typed(MAIN, "--height", "")),
])  # fmt: skip
def test_the_sentence_but_for_the_name(call, args):
    with pytest.raises(libdrag.InvalidInput) as caught:
        call()
    name, rest = str(caught.value).split(": ", 1)
    assert name == "stature" and rest == complaint(args).split(": ", 1)[1]
    assert rest == f"got {caught.value.value}; allowed: {caught.value.allowed}" and caught.value.field == name


# Where the command line speaks of its own options.
@pytest.mark.parametrize("call, args, words", [
    (price(when="always", breathe="every-2"), [*MAIN, "--when", "always", "--breathe", "every-2"],
     ["breathe", "every-2", "always"]),
    (price(threads=1000), typed(MAIN, "--threads", "1000"), ["threads", "1000", "0 to 256"]),
    (lambda: libdrag.stroke(BODY, 1.5, breathe="every-2"), ["stroke", "--speed", "1.5mps", *WHO, "--breathe",
                                                            "every-2"],
     ["hip drop", "nothing", "4deg"]),
    (lambda: Composition(age_years="x"), typed(DRAG, "--age", "x"), ["age", "x", "a number"]),
    (lambda: Body(measured={"zzz": 1}, stature_m=1.72, mass_kg=63), typed(MAIN, "--dim", "zzz=1m"),
     ["body dimension", "zzz"]),
])  # fmt: skip
def test_the_sentence_in_the_words_of_either(call, args, words):
    with pytest.raises((ValueError, TypeError, KeyError)) as caught:
        call()
    assert judged(caught.value) is None
    for word in words:
        assert word in str(caught.value) and word in complaint(args), (str(caught.value), complaint(args))
    assert "--" not in str(caught.value) and "dragcalc" not in str(caught.value), str(caught.value)


# --- values that do not change ----------------------------------------------------------------------


def seen_at_the_pool():
    """One of every class of `_pool.py`."""
    with tempfile.TemporaryDirectory() as folder:
        path = os.path.join(folder, "squad.csv")
        for kind, row in (("swim", {"how": ["snorkel", "every-2"], "time_s": [14.3, 14.6], "distance_m": 25}),
                          ("drop", {"drop_deg": 4, "side": "both"}), ("frames", {"film": "mia.csv"}),
                          ("loaded", {"time_s": 15.4, "distance_m": 25}),
                          ("loaded", {"time_s": 17.6, "distance_m": 25, "load_N": 45}),
                          ("race", {"event": "100 free", "time_s": 62.4}),
                          ("remark", {"note": "tired"})):  # fmt: skip
            done = libdrag.append_to_record(path, "Mia", kind, date="2026-11-25", **row)
        record = libdrag.read_record(path)
    far = [swim._replace(time_s=16.9) if i == 2 else swim for i, swim in enumerate(SWIMS)]
    seen = libdrag.watch([PoolTest("2026-11-25", swims, distance_m=25, set=name)
                          for name, swims in (("1", SWIMS), ("2", far))])  # fmt: skip
    low = Glide(GLIDED["time_s"], [0.5, 1.33, 2.03, 2.63, 3.16, 3.64], held_deg=8)
    glides = libdrag.glide(BODY, [Glide(**GLIDED), low], draws=100)
    known = libdrag.measured(SEASON, body=BODY, event="100 free", time_s=62.4, draws=1000)
    planned = libdrag.design(event="100 free", time_s=62.4, hip_drop_deg=4, swims=2, days=1, draws=1000)
    session = libdrag.practice(
        event="100 free", time_s=62.4, minutes=45, pool_m=25, aids=Snorkel(), draws=100
    )
    weeks = libdrag.progress(SEASON, body=BODY, event="100 free", time_s=62.4, draws=100)
    return [
        done, record, record.tests[0], record.tests[0].swims[0], record.drops[0], low, record.loaded[0],
        record.races[0], record.films[0], record.remarks[0], seen, seen.gaps[0], seen.far_out[0],
        libdrag.pool_test_plan(2, 6, 14.5), MARKED, libdrag.angle(breaths=MARKED, without=WITHOUT, draws=100),
        glides, glides.fits[0], glides.held[0], glides.ratios[0],
        libdrag.loaded(free_m_s=1.62, loaded_m_s=1.41, load_N=45, draws=100), weeks, weeks.levels[0],
        known, known.measurements[0], known.learnt[0], known.next[0], planned, planned.rows[0],
        session, session.ways[0], session.parts[1], session.parts[1].lines[1], session.swims[5], session.rules[0],
    ]  # fmt: skip


@functools.lru_cache(maxsize=None)
def values():
    """One of every public class of values."""
    aids = [Belt(2.0), Buoy("2L")]
    price_ = libdrag.cost(BODY, **RACE, hip_drop_deg=4, draws=100)
    balance_ = libdrag.balance(BODY, aids=aids, head_lift_deg=20)
    aided = libdrag.aids(BODY, 1.5, Tether(20), want=1.1, draws=100)
    spread = libdrag.propagate(double, {"x": Input.normal(0, 1)}, draws=100)
    table = libdrag.evidence()
    compared = libdrag.compare(
        BODY, event="100 free", time_s=62.4, hip_drop_deg=4, steady_drop_deg=2, draws=100
    )
    carded = libdrag.card(BODY, event="100 free", time_s=62.4, hip_drop_deg=4, date="2026-11-26", draws=100)
    made = [
        BODY, BODY.posed(), Posture(), Area(0.07, "projected"), DragCoefficient(0.5, "projected"),
        libdrag.water(), SWIM,
        Swimmer("Ada", BODY), Snorkel(), Belt(2.0), DragShorts(), Drogue(0.09), Tether(20), Buoy("3L"),
        Sleeve("2L"),
        Composition(), libdrag.passive_drag(BODY, 1.5, draws=100), libdrag.active_drag(BODY, 1.5, draws=100),
        libdrag.drag(BODY, 1.5, draws=100), price_, libdrag.cost(BODY, **RACE, hip_drop_deg=[2, 4],
                                                                 draws=100),
        libdrag.wanted_gain(BODY, 0.2, **RACE, hip_drop_deg=4, draws=100),
        libdrag.implied_hip_drop(BODY, 62.0, **RACE, draws=100),
        libdrag.stroke(BODY, 1.5, hip_drop_deg=4, draws=100),
        libdrag.periodic_motion(70, [0.5, 0.5], [60.0, 40.0], 25.0), balance_, balance_.head, aided, table,
        Input.normal(0, 1), spread, libdrag.sources(), price_.picture(),
        compared, carded,
        # named tuples
        compared.ranked[0], carded.races[0], price_.cost_s, price_.legs[0], price_.because[0], balance_.loads[0], aided.effects[0],
        aided.wanted[0], table.rows[0],
        libdrag.sources()["tilt.slope"], libdrag.active_factor(1.5), libdrag.breath_shares("every-2"),
        libdrag.advance(70, 40, 25, 1.5, 0.3), libdrag.spheroid_added_mass(2, 0.4),
        libdrag.lung_volumes(BODY),
        libdrag.havelock_sphere(1.5, 0.4, 0.6), *seen_at_the_pool(),
    ]  # fmt: skip
    return {type(value).__name__: value for value in made}


CLASSES = sorted(
    name
    for name in libdrag.__all__
    if inspect.isclass(getattr(libdrag, name))
    and name not in ("Aid", "FrozenError", "InvalidInput", "UnknownKey")
)


def test_every_class_of_values_is_here():
    assert sorted(values()) == CLASSES


@pytest.mark.parametrize("name", CLASSES)
def test_a_value_refuses_change(name):
    value = values()[name]
    # A named tuple is Python's own, and refuses with an AttributeError.
    refusal = AttributeError if isinstance(value, tuple) else libdrag.FrozenError
    public = [x for x in dir(value) if not x.startswith("_")]
    slots = [x for cls in type(value).__mro__ for x in getattr(cls, "__slots__", ())]
    for attribute in dict.fromkeys(
        [*public, *slots, "brand_new", "__class__" if not isinstance(value, tuple) else "brand_new"]
    ):
        before = getattr(value, attribute, OTHER)
        with pytest.raises(refusal):
            setattr(value, attribute, 1)
        with pytest.raises(refusal):
            delattr(value, attribute)
        assert same_thing(getattr(value, attribute, OTHER), before), attribute
    if not isinstance(value, tuple):
        with pytest.raises((TypeError, AttributeError)) as caught:
            value.brand_new = 1
        assert judged(caught.value) is None and name in str(caught.value) and "brand_new" in str(caught.value)


def same_thing(one, other):
    if isinstance(one, np.ndarray):
        return one.tobytes() == other.tobytes()
    return one is other or one == other or repr(one) == repr(other)


def test_frozen_means_what_dataclasses_mean():
    assert issubclass(libdrag.FrozenError, dataclasses.FrozenInstanceError) and issubclass(
        libdrag.FrozenError, TypeError
    )
    assert issubclass(libdrag.InvalidInput, ValueError) and issubclass(libdrag.UnknownKey, KeyError)


def test_what_a_value_was_made_from_may_change():
    measured = {"chest_girth": 0.90}
    her = Body("f", 1.72, 63, measured)
    measured["chest_girth"] = 1.0
    assert her.measured == {"chest_girth": 0.90} and her.dimensions["chest_girth"]["value_m"] == 0.90
    coefficients = {"tilt.slope": 2.0}
    hers = Swim(her, coefficients=coefficients, tilt_model="slope")
    before = libdrag.tilt_ratio(hers, 5.0)
    coefficients["tilt.slope"] = 9.0
    assert hers.coefficients == {"tilt.slope": 2.0} and libdrag.tilt_ratio(hers, 5.0) == before


# What a value hands out is a copy, or refuses change: else its numbers and its pickle would tell different
# stories.
def test_what_a_value_hands_out_does_not_change_it():
    her = Body("f", 1.72, 63, {"chest_girth": 0.90})
    before = repr(her)
    hers = Swim(her, coefficients={"tilt.slope": 2.0})
    for handed_out, key in (
        (her.measured, "chest_girth"),
        (her.dimensions, "chest_girth"),
        (hers.coefficients, "tilt.slope"),
    ):
        try:
            handed_out[key] = 1.0
        except TypeError:
            pass
    assert (
        repr(her) == before
        and her.dimensions["chest_girth"]["value_m"] == 0.90
        and hers.coefficients["tilt.slope"] == 2.0
    )


# A result keeps the numbers it was made from: the caller's arrays are the caller's.
def test_a_result_keeps_its_numbers_when_the_input_changes():
    speeds, areas = np.array([1.0, 1.5]), np.array([0.07, 0.08])
    result, area = libdrag.passive_drag(BODY, speeds, draws=200), Area(areas, "projected")
    k, low = result.k_kg_m.copy(), libdrag.passive_drag(BODY, speeds.copy(), draws=200).low_N
    speeds *= 2
    areas *= 2
    assert np.array_equal(result.k_kg_m, k) and np.array_equal(result.low_N, low)
    assert area.m2.tolist() == [0.07, 0.08]


@pytest.mark.parametrize("call, said", [
    (lambda: libdrag.stroke(Swim(BODY, stroke="back"), 1.5, head_lift_deg=10), "head lift: got 10.0 deg; "),
    (lambda: libdrag.stroke(BODY, 1.5, hip_drop_m=0.05, aids=Snorkel()), "hip drop: got 0.0500 m; "),
    (lambda: libdrag.cost(BODY, **RACE, hip_drop_deg=3, composition=Composition(fat_percent=20)),
     "fat: got 20.0 %; "),
    (lambda: libdrag.drag(BODY, 1.5, composition=Composition(age_years=30)), "age: got 30.0; "),
    (lambda: libdrag.drag(BODY, 1.5, composition=Composition(lungs="full")), "lungs: got others than half full; "),
])  # fmt: skip
def test_what_changes_nothing_is_refused_in_its_own_unit(call, said):
    with pytest.raises(libdrag.InvalidInput, match=re.escape(said) + "allowed: nothing "):
        call()
