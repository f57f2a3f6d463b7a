"""A widget that goes on hearing the kernel where the page was slow to start it.

anywidget allows a widget two seconds to load its module (0.11, `Runtime.ready`). On a busy machine, with a page full
of panels, that is not always enough; the widget appears all the same, and then every message to it is lost, for good:
what the learner does is done and written down, and nothing of it shows. ``hearing.js`` takes messages to such a widget
by the way of every other widget, as soon as it is drawn.
"""

from __future__ import annotations

from pathlib import Path
from typing import Any
from uuid import uuid4

import anywidget
import traitlets

EARS = Path(__file__).with_name("hearing.js")
DRAWS = "export default { render };"


def with_ears(module: Path) -> str:
    """Return the text of a module that ends in ``export default { render };``, made to hear.

    Raises ValueError where it does not end so.
    """
    text = module.read_text(encoding="utf-8")
    if not text.rstrip().endswith(DRAWS):
        raise ValueError(f"{module.name} does not end in {DRAWS!r}; a widget's module must.")
    head = text.rstrip().removesuffix(DRAWS)
    return f"{head}{EARS.read_text(encoding='utf-8')}export default {{ render: hearing(render) }};\n"


class Hearing(anywidget.AnyWidget):
    """A widget that knows its own id, by which the page finds it."""

    own_id = traitlets.Unicode().tag(sync=True)

    def __init__(self, **kwargs: Any) -> None:
        own_id = uuid4().hex
        super().__init__(own_id=own_id, model_id=own_id, **kwargs)
