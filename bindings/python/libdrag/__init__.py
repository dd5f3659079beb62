"""What a swimmer's drag costs: seconds for degrees of hip drop, with an honest interval.

The library of ``dragcalc`` from Python: the same names, defaults, numbers and cautions. Parameters carry
their unit in their name; a number is in that unit, text goes through the library's parser (``"172cm"``,
``"1:02.40"``), and pint quantities are converted and checked. Functions of numbers broadcast over arrays.
Results never come without an interval and what makes it wide.

>>> swimmer = Body(sex="f", stature_m="172cm", mass_kg=63)
>>> result = cost(swimmer, event="100 free", time_s="1:02.40", hip_drop_deg=4, breathe="every-2")
>>> f"{result.median:.2f} s ({result.low:.2f} to {result.high:.2f})"
'0.50 s (0.18 to 1.48)'
"""

from typing import TYPE_CHECKING, Any

from . import (
    _body,
    _card,
    _compare,
    _cost,
    _drag,
    _draws,
    _errors,
    _formulas,
    _motion,
    _picture,
    _pool,
    _practice,
    _swim,
    _tables,
    units,
)
from ._body import *
from ._card import *
from ._compare import *
from ._core import __version__
from ._cost import *
from ._drag import *
from ._draws import *
from ._errors import *
from ._formulas import *
from ._motion import *
from ._picture import *
from ._pool import *
from ._practice import *
from ._swim import *
from ._tables import *
from .units import *

__all__ = ["__version__", "units"]
__all__ += (
    _body.__all__
    + _card.__all__
    + _compare.__all__
    + _cost.__all__
    + _drag.__all__
    + _draws.__all__
    + _errors.__all__
)
__all__ += _formulas.__all__ + _motion.__all__ + _picture.__all__ + _pool.__all__ + _practice.__all__
__all__ += _swim.__all__ + _tables.__all__ + units.__all__

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
