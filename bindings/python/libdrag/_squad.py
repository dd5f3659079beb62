"""Many swimmers in one data frame: the library's squad."""

from __future__ import annotations

import io
from typing import Any, Dict, Mapping, Optional, Protocol, Sequence, Union

from . import _core
from ._swim import Aid, Composition, aid_keywords, composition_core, place_of
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


def answers_of(
    question: str,
    frame: Any,
    call: Mapping[str, Any],
    aids: Union[Aid, Sequence[Aid], None],
    composition: Optional[Composition],
    paths: Mapping[str, Any],
    options: _core.Options,
) -> Any:
    """A row for each row of a frame, in their order and under their index.

    `call` is what rows do not say, `paths` are the names of files.
    """
    import pandas  # type: ignore[import]

    composition_core(composition)
    made_of = {} if composition is None else vars(composition)
    asked: Dict[str, Any] = {**call, **aid_keywords(aids), **made_of}
    asked = {name: value for name, value in asked.items() if value is not None}
    asked.update((name, place_of(path)) for name, path in paths.items() if path is not None)
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
