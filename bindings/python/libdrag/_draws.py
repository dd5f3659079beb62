"""How sure an answer is: estimates with intervals, ranked doubts, and Monte Carlo of a model of your own."""

from __future__ import annotations

import math
from typing import Any, Callable, Dict, List, Mapping, NamedTuple, Optional, Sequence, Tuple, Union

import numpy as np

from . import _core
from ._errors import InvalidInput, shown, wrong_type
from ._values import Frozen, Ranged, flag, has, kept, three_digits

__all__ = ["Contribution", "Estimate", "Input", "interval", "propagate", "Propagated"]


class Estimate(NamedTuple):
    """Median and coverage interval.

    Attributes
    ----------
    median, low, high : float
        In the unit that the name of the result ends in.
    level : float
        Coverage probability of ``low`` to ``high``, 0.95 unless asked otherwise.

    Examples
    --------
    >>> e = Estimate(0.38, 0.09, 1.5, 0.95)
    >>> str(e)
    '0.38 (95 % range 0.09 to 1.5)'
    >>> e.low
    0.09
    """

    median: float
    low: float
    high: float
    level: float

    def __str__(self) -> str:
        middle, low, high = (three_digits(x) for x in self[:3])
        return f"{middle} ({100 * self.level:.3g} % range {low} to {high})"


class Contribution(NamedTuple):
    """One line of the ranked list of doubts.

    Attributes
    ----------
    input : str
        What is uncertain, in plain words.
    share : float
        0 to 1: part of the result's variance that this input explains on its own.

    Examples
    --------
    >>> swimmer = Body("f", 1.72, 63)
    >>> first = cost(swimmer, event="100 free", time_s="1:02.40", hip_drop_deg=4).because[0]
    >>> first.input, 0 < first.share < 1
    ('how drag grows with tilt (the models disagree; one rigid diver was measured)', True)
    """

    input: str
    share: float


class Input(Frozen):
    """One uncertain input of a model, independent of the others; made by `normal`, `uniform`, `choice` or `fixed`.

    Any frozen distribution with a ``ppf`` method, as those of ``scipy.stats``, may stand for an input as
    well.

    Examples
    --------
    >>> Input.normal(1.5, 0.1)
    Input.normal(1.5, 0.1, -inf, inf)
    >>> Input.normal(1.5, 0.1) == Input.normal(1.5, 0.1)
    True
    """

    __slots__ = ("_plain",)
    _plain: Tuple[Any, ...]

    def __init__(self, *plain: Any) -> None:
        shape, *rest = plain
        _core.check_input((shape, "input", *rest))
        self._set(_plain=plain)

    @classmethod
    def normal(cls, mean: float, sd: float, low: float = -math.inf, high: float = math.inf) -> Input:
        """Normal; a draw below `low` or above `high` is replaced by that limit."""
        return cls("normal", mean, sd, low, high)

    @classmethod
    def uniform(cls, low: float, high: float) -> Input:
        """Equally likely anywhere from `low` to `high`."""
        return cls("uniform", low, high)

    @classmethod
    def choice(cls, weights: Sequence[float]) -> Input:
        """One of 0, 1, ... with probabilities in proportion to the weights; the model gets the index."""
        return cls("choice", kept(weights, "weights", "1"))

    @classmethod
    def fixed(cls, value: float) -> Input:
        """A number taken as exact."""
        return cls("fixed", value)

    def __repr__(self) -> str:
        shape, *rest = self._plain
        return f"Input.{shape}({', '.join(map(repr, rest))})"

    def __reduce__(self) -> Tuple[Any, ...]:
        return Input, self._plain


class Propagated(Ranged):
    """One output of `propagate`.

    Attributes
    ----------
    estimate : Estimate
        Median and coverage interval.
    median, low, high, level : float
        The same, one by one.
    mean, standard_uncertainty : float
        Average and standard deviation of the draws.
    draws : numpy.ndarray
        Shape ``(draws,)``, in draw order.
    because : tuple of Contribution
        Inputs by the share of the variance that each explains on its own, largest first.
    in_combination : float
        The rest, which inputs explain only together.

    Examples
    --------
    >>> run = propagate(lambda x: x["a"] + x["b"], {"a": Input.normal(0, 3), "b": Input.normal(0, 4)})
    >>> round(run.standard_uncertainty)
    5
    """

    estimate: Estimate
    mean: float
    standard_uncertainty: float
    draws: np.ndarray[Any, Any]
    because: Tuple[Contribution, ...]
    in_combination: float
    _range = "estimate"

    def __repr__(self) -> str:
        return f"Propagated({self.estimate})"

    def to_ufloat(self, tag: str = "") -> Any:
        """Mean and standard uncertainty as a value of the ``uncertainties`` package, if installed."""
        return ufloat_of(self.draws, tag)


def ufloat_of(
    draws: np.ndarray[Any, Any], tag: str = "", weights: Optional[np.ndarray[Any, Any]] = None
) -> Any:
    """Mean and standard deviation of draws, weighed if they are, as ``uncertainties.ufloat``.

    Raises
    ------
    ModuleNotFoundError
        If the ``uncertainties`` package is not installed.
    """
    from uncertainties import ufloat  # type: ignore[import]

    if weights is None:
        return ufloat(float(np.mean(draws)), float(np.std(draws, ddof=1)), tag or None)
    mean = np.average(draws, weights=weights)
    return ufloat(float(mean), float(np.sqrt(np.average((draws - mean) ** 2, weights=weights))), tag or None)


Model = Callable[
    [Dict[str, np.ndarray[Any, Any]]], Union[np.ndarray[Any, Any], Mapping[str, np.ndarray[Any, Any]]]
]


def propagate(
    model: Model,
    inputs: Mapping[str, Any],
    *,
    draws: int = 20000,
    seed: int = 1,
    level: float = 0.95,
    shortest: bool = False,
) -> Any:
    """Propagates distributions through a model by Monte Carlo (JCGM 101:2008).

    Draw i of input j depends on ``(seed, i, j)`` and on the input itself alone: a longer run begins with the
    draws of a shorter one, and runs with equal seeds differ by their inputs, not by noise.

    Parameters
    ----------
    model : callable
        Gets a dictionary of arrays, one per input, of one block of draws (at most 512), and returns an array
        of that length, or a dictionary of them. It must act on each draw alone.
    inputs : mapping of str to Input or distribution
        Plain words as names: they come back in ``because``. A number is taken as exact.
    draws : int
        100 to 100 million.
    seed : int
        Same seed, same answer.
    level : float
        Coverage probability of the interval, 0.5 to 0.999.
    shortest : bool
        The shortest interval instead of the probabilistically symmetric one.

    Returns
    -------
    Propagated, or dict of str to Propagated
        As the model returns one array or a dictionary.

    Raises
    ------
    InvalidInput
        For inputs or options outside their range, and a model that returns something else.

    Examples
    --------
    >>> speed, area = Input.normal(1.5, 0.05), Input.uniform(0.03, 0.04)
    >>> run = propagate(lambda x: 500 * x["speed"] ** 2 * x["CdA"], {"speed": speed, "CdA": area})
    >>> [part.input for part in run.because]
    ['CdA', 'speed']
    """
    if not isinstance(inputs, Mapping) or not inputs:
        raise InvalidInput("inputs", shown(inputs), "a dictionary of names and distributions")
    if not callable(model):
        raise wrong_type("model", model, "a function of a dictionary of arrays")
    names = list(inputs)
    for name in names:
        if not isinstance(name, str):
            raise wrong_type("inputs", name, "names in plain words")
    plain: List[Tuple[Any, ...]] = []
    quantiles: Dict[str, Any] = {}
    for name, given in inputs.items():
        if isinstance(given, Input):
            shape, *rest = given._plain
            plain.append((shape, name, *rest))
        elif has(given, "ppf"):
            plain.append(("uniform", name, 0.0, 1.0))
            quantiles[name] = given.ppf
        else:
            plain.append(("fixed", name, given))

    def columns(block: Sequence[np.ndarray[Any, Any]]) -> Dict[str, np.ndarray[Any, Any]]:
        return {
            name: quantiles[name](column) if name in quantiles else column
            for name, column in zip(names, block)
        }

    # One draw of each input's middle shows what the model returns.
    trial = model(columns([np.full(2, _middle(row)) for row in plain]))
    keys = [str(key) for key in trial] if isinstance(trial, Mapping) else None
    if keys is not None and not keys:
        raise InvalidInput("model", "an empty dictionary", "at least one array")

    def answers(block: Sequence[np.ndarray[Any, Any]]) -> List[np.ndarray[Any, Any]]:
        got = model(columns(block))
        if not isinstance(got, Mapping):
            got = {"": got}
        if [str(key) for key in got] != (keys or [""]):
            raise InvalidInput("model", "other names than before", "the same arrays for every block")
        size = len(block[0])
        out = []
        for value in got.values():
            try:
                array = np.asarray(value)
            except Exception:
                raise wrong_type("model", value, "arrays of numbers") from None
            if array.dtype.kind not in "fiu":
                raise wrong_type("model", value, "arrays of numbers")
            if array.shape not in ((size,), ()):
                raise InvalidInput("model", f"an array of shape {array.shape}", f"one of shape ({size},)")
            out.append(np.ascontiguousarray(np.broadcast_to(array, (size,)), dtype=float))
        return out

    options = _core.Options(draws, seed, level, 1)
    run = _core.propagate(
        plain, 1 if keys is None else len(keys), answers, options, flag("shortest", shortest)
    )
    results = [Propagated(plain) for plain in run["results"]]
    return results[0] if keys is None else dict(zip(keys, results))


def _middle(plain: Tuple[Any, ...]) -> float:
    shape = plain[0]
    if shape == "uniform":
        return 0.5 * (float(plain[2]) + float(plain[3]))
    return 0.0 if shape == "choice" else _core.read(plain[2], plain[1], "1")


def interval(values: Any, *, level: float = 0.95, shortest: bool = False) -> Estimate:
    """Median and coverage interval of a sample (JCGM 101:2008, 7.7).

    Parameters
    ----------
    values : array_like
        At least 100 numbers.
    level : float
        Coverage probability, 0.5 to 0.999.
    shortest : bool
        The shortest interval instead of the probabilistically symmetric one.

    Returns
    -------
    Estimate

    Raises
    ------
    InvalidInput
        For fewer than 100 values.

    Examples
    --------
    >>> interval(range(1001), level=0.5)
    Estimate(median=500.0, low=249.0, high=750.0, level=0.5)
    """
    found: Estimate = _core.interval(values, level, flag("shortest", shortest))
    return found
