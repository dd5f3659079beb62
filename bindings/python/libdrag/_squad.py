"""Many swimmers in one data frame: the library's squad."""

from __future__ import annotations

import io
from typing import Any, Mapping, Protocol

from . import _core
from ._swim import aid_keywords, composition_core, parted
from ._values import has


class DataFrame(Protocol):
    """One of pandas, which is imported only with one in hand."""

    @property
    def columns(self) -> Any:
        ...

    @property
    def iloc(self) -> Any:
        ...


def is_frame(body: Any) -> bool:
    return has(body, "iloc") and has(body, "columns")


def answers_of(question: str, given: Mapping[str, Any]) -> Any:
    """A row for each row of the frame that is the body, in their order and under their index; what rows do not say the
    other arguments do.
    """
    import pandas  # type: ignore[import]

    asked, aids, composition, options = parted(given)
    frame = asked.pop("body")
    composition_core(composition)
    asked = {**asked, **aid_keywords(aids), **({} if composition is None else vars(composition))}
    asked = {name: value for name, value in asked.items() if value is not None}
    filled = frame.astype(object).where(frame.notna(), None)
    titles = [str(title) for title in frame.columns]
    text, notes = _core.squad(question, titles, filled.values.tolist(), asked, options)
    table = pandas.read_csv(
        io.StringIO(text),
        dtype={"name": str, "error": str},
        keep_default_na=False,
        na_values=[""],
        float_precision="round_trip",
    )
    table.index = frame.index
    table.attrs["notes"] = tuple(notes)
    return table
