"""The ten questions for a new job, one after another: the page keeps the answers."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import TYPE_CHECKING, Any

from mouldgen.desk.next_question import Finished, next_question

if TYPE_CHECKING:
    from mouldgen.page.work import Shop


def new(shop: Shop, values: Mapping[str, Any]) -> Iterator[dict[str, Any]]:
    """The question that is next, or the job that the answers make; nothing is written.

    shop : of the process.
    values : ``answers``, as typed.

    Raises what `mouldgen.desk.next_question.next_question` raises.
    """
    step = next_question(values["answers"], folder=shop.bench.folder)
    if isinstance(step, Finished):
        yield {"name": f"{step.name}.toml", "text": step.text, "told": list(step.told)}
        return
    question = {
        "id": step.id,
        "words": step.words,
        "usual": step.usual,
        "choices": [list(row) for row in step.choices],
        "hint": step.hint,
        "told": list(step.told),
    }
    yield {"question": question, "at": step.at, "of": step.of}
