"""What a swimmer's drag costs: seconds for degrees of hip drop, with an honest interval.

The library of ``dragcalc`` from Python: the same names, defaults, numbers and cautions. Parameters carry
their unit in their name; a number is in that unit, text goes through the library's parser (``"172cm"``,
``"1:02.40"``), and pint quantities are converted and checked. Functions of numbers broadcast over arrays.
Results never come without an interval and what makes it wide.

>>> swimmer = Body(sex="f", stature_m="172cm", mass_kg=63)
>>> result = cost(swimmer, event="100 free", time_s="1:02.40", hip_drop_deg=4, breathe="every-2")
>>> f"{result.median:.2f} s ({result.low:.2f} to {result.high:.2f})"
'0.50 s (0.18 to 1.47)'
"""

from typing import TYPE_CHECKING, Any

from . import units
from ._body import Area, Body, DragCoefficient, PosedBody, Posture
from ._core import __version__
from ._cost import (
    Cost,
    Costs,
    ImpliedDrop,
    Inverse,
    LegCost,
    cost,
    implied_hip_drop,
    sweep,
    wanted_gain,
    what_if,
)
from ._drag import ActiveDrag, Drag, PassiveDrag, active_drag, drag, passive_drag, tilt_ratio
from ._draws import Contribution, Estimate, Input, Propagated, interval, propagate
from ._errors import FrozenError, InvalidInput, UnknownKey
from ._formulas import (
    BreathShares,
    LungVolumes,
    Moved,
    SpheroidAddedMass,
    Uncertain,
    WaveResistance,
    active_factor,
    advance,
    breath_shares,
    breaths_per_cycle,
    crossflow_efficiency,
    dimension_list,
    drag_by_assisted_tow_N,
    drag_by_perturbation_N,
    drag_force_N,
    ellipsoid_projected_area_m2,
    ellipsoid_surface_m2,
    events,
    form_factor,
    format_time,
    friction_coefficient,
    froude,
    guessed_time_s,
    havelock_sphere,
    havelock_spheroid,
    hip_drop_level,
    hull_speed_m_s,
    lung_volumes,
    pulse_width_cycles,
    reynolds,
    siri_density_kg_m3,
    speed_change_at_power,
    speed_change_at_thrust,
    speed_specific_drag_kg_m,
    spheroid_added_mass,
    swimmer_added_mass_kg,
    transverse_wavelength_m,
    usual_breathing,
    wave_depth_factor,
    wave_share,
)
from ._motion import (
    AidEffect,
    AidsResult,
    Balance,
    HeadLift,
    LoadEffect,
    Motion,
    StrokeCycle,
    WantedLoad,
    aids,
    balance,
    periodic_motion,
    stroke,
)
from ._swim import (
    Aid,
    Belt,
    Buoy,
    Composition,
    DragShorts,
    Drogue,
    Sleeve,
    Snorkel,
    Swim,
    Swimmer,
    Tether,
    Water,
    read_swimmer,
    water,
)
from ._tables import Evidence, EvidenceRow, Source, Sources, evidence, sources, to_pandas, to_xarray
from .units import with_units

__all__ = [
    "__version__",
    "active_drag",
    "active_factor",
    "ActiveDrag",
    "advance",
    "Aid",
    "AidEffect",
    "aids",
    "AidsResult",
    "Area",
    "Balance",
    "balance",
    "Belt",
    "Body",
    "breath_shares",
    "breaths_per_cycle",
    "BreathShares",
    "Buoy",
    "Composition",
    "Contribution",
    "Cost",
    "cost",
    "Costs",
    "crossflow_efficiency",
    "dimension_list",
    "Drag",
    "drag",
    "drag_by_assisted_tow_N",
    "drag_by_perturbation_N",
    "drag_force_N",
    "DragCoefficient",
    "DragShorts",
    "Drogue",
    "ellipsoid_projected_area_m2",
    "ellipsoid_surface_m2",
    "Estimate",
    "events",
    "Evidence",
    "evidence",
    "EvidenceRow",
    "form_factor",
    "format_time",
    "friction_coefficient",
    "froude",
    "FrozenError",
    "guessed_time_s",
    "havelock_sphere",
    "havelock_spheroid",
    "HeadLift",
    "hip_drop_level",
    "hull_speed_m_s",
    "implied_hip_drop",
    "ImpliedDrop",
    "Input",
    "interval",
    "InvalidInput",
    "Inverse",
    "LegCost",
    "LoadEffect",
    "lung_volumes",
    "LungVolumes",
    "Motion",
    "Moved",
    "passive_drag",
    "PassiveDrag",
    "periodic_motion",
    "PosedBody",
    "Posture",
    "propagate",
    "Propagated",
    "pulse_width_cycles",
    "read_swimmer",
    "reynolds",
    "siri_density_kg_m3",
    "Sleeve",
    "Snorkel",
    "Source",
    "Sources",
    "sources",
    "speed_change_at_power",
    "speed_change_at_thrust",
    "speed_specific_drag_kg_m",
    "spheroid_added_mass",
    "SpheroidAddedMass",
    "stroke",
    "StrokeCycle",
    "sweep",
    "Swim",
    "Swimmer",
    "swimmer_added_mass_kg",
    "Tether",
    "tilt_ratio",
    "to_pandas",
    "to_xarray",
    "transverse_wavelength_m",
    "Uncertain",
    "units",
    "UnknownKey",
    "usual_breathing",
    "wanted_gain",
    "WantedLoad",
    "Water",
    "water",
    "wave_depth_factor",
    "wave_share",
    "WaveResistance",
    "what_if",
    "with_units",
]

for _name in __all__:  # shown, documented and pickled under the names that are used
    _value: Any = globals().get(_name)
    if getattr(_value, "__module__", "").startswith("libdrag._"):
        _value.__module__ = "libdrag"
del _name, _value


if TYPE_CHECKING:
    from . import plot as plot
else:

    def __getattr__(name):
        if name == "plot":  # matplotlib is loaded only for those who draw
            import importlib

            return importlib.import_module("libdrag.plot")
        raise AttributeError(f"module 'libdrag' has no attribute {name!r}")
