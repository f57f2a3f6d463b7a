"""The scene as a widget: it shows ``slip.view()`` and does what the browser asks for through ``slip.act``.

The browser sends ``{"action": str, "args": {...}, "id": str}`` and never a reading. What comes back is that of the view
which changed, with the id that was answered, and then the same in words. ``{"look": bool, "id": str}`` shows or hides the
potential of the water, which is no act and is in no logbook. The drawing is scene.js, one module.
"""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path
from typing import Any, Protocol

import traitlets

from course.instruments.words import view_words
from course.panels.hearing import Hearing, with_ears

HERE = Path(__file__).parent
# What most acts change. Of the rest, what has not changed is not sent again: most of a view is the boat herself.
MOVING = (
    "meter", "leads", "cell", "probe", "clamp", "clock", "said", "breakers", "battery", "shore", "links", "hoists",
)  # fmt: skip
APART = ("drag", "look", "logbook", "record_card")  # sent by themselves, or not drawn


def parted(view: Mapping[str, Any]) -> dict[str, dict[str, Any]]:
    """Return a view as it is sent: what stands still, what moves, the map a dragged cell follows, the look layer."""
    moving = {key: view[key] for key in MOVING if key in view}
    return {
        "still": {key: value for key, value in view.items() if key not in (*MOVING, *APART)},
        "moving": {**moving, "rows": len(view["logbook"])},
        "drag": view["drag"],
        "layer": view.get("look") or {},
    }


class SlipLike(Protocol):
    """What a panel needs of the thing it shows: ``course.instruments.slip.Slip``, or a stand-in for it."""

    def act(self, action: str, args: dict[str, Any], action_id: str | None) -> Any:
        """Do one act, once for an id; raise ValueError with one sentence when it cannot be done."""

    def refresh(self) -> None:
        """Take in what others wrote."""

    def view(self) -> dict[str, Any]:
        """Return the whole state as JSON-safe data."""

    def look(self) -> dict[str, Any]:
        """Return lines of equal potential in the water beside the boat."""

    def text(self) -> str:
        """Return the whole state in words."""


class Scene(Hearing):
    """Boat and bench of one slip: ``view`` is ``Slip.view()``, ``words`` the same in sentences.

    ``shown`` counts how often it was shown anew; it changes once the browser has been told.

    With ``look_allowed`` the potential of the water can be shown; without, a learner has nothing but the instruments.
    """

    _esm = with_ears(HERE / "scene.js")
    _css = HERE / "scene.css"
    view = traitlets.Dict()
    still = traitlets.Dict().tag(sync=True)
    moving = traitlets.Dict().tag(sync=True)
    drag = traitlets.Dict().tag(sync=True)
    layer = traitlets.Dict().tag(sync=True)
    shown = traitlets.Int(0)
    words = traitlets.List(traitlets.Unicode()).tag(sync=True)
    answered = traitlets.Unicode("").tag(sync=True)
    look_allowed = traitlets.Bool(False).tag(sync=True)

    def __init__(self, slip: SlipLike, look_allowed: bool = False, **kwargs: Any) -> None:
        view = slip.view()
        super().__init__(
            view=view, **parted(view), words=view_words(view), look_allowed=look_allowed, **kwargs
        )
        self._slip = slip
        self._looking = False
        self.on_msg(self._on_message)

    def refresh(self) -> None:
        """Show what the slip is now, after it was changed from elsewhere."""
        self._slip.refresh()
        self._show("", "")

    def look(self, shown: bool, action_id: str = "") -> None:
        """Show or hide the potential of the water, where that is allowed."""
        self._looking = shown and self.look_allowed
        self._show("", action_id)

    def act(self, action: str, args: dict[str, Any], action_id: str | None = None) -> str:
        """Do one act on the slip and show the outcome; return the sentence shown if it was refused, else ''.

        A refusal (any ValueError of the slip, its SlipError among them) is one sentence for the learner and
        changes nothing. Anything else is a defect: it is shown as such and raised.
        """
        try:
            self._slip.act(action, args, action_id)
        except ValueError as refusal:
            self._show(str(refusal), action_id or "")
            return str(refusal)
        except Exception as defect:
            sentence = f"Something went wrong in the simulation ({type(defect).__name__}); see the logbook."
            self._show(sentence, action_id or "")
            raise
        self._show("", action_id or "")
        return ""

    def _show(self, refusal: str, action_id: str) -> None:
        view = self._slip.view()
        if refusal:
            view = {**view, "said": refusal}
        stays = self._looking and bool(
            self.layer
        )  # the layer follows after the answer; a new one comes with it
        if self._looking and not stays:
            view = {**view, "look": self._slip.look()}
        with self.hold_sync():  # traits that are as they were are not sent
            for name, piece in parted(view).items():
                if name != "layer" or not stays:
                    self.set_trait(name, piece)
            self.answered = action_id
        if stays:
            self.layer = self._slip.look()
            view = {**view, "look": self.layer}
        self.view = view
        seen = view["look"]["words"] if view.get("look") else []
        self.words = [*view_words(view), *seen]  # after the answer: nobody waits for them to see the display
        self.shown += 1

    def _on_message(self, _widget: Any, content: Any, _buffers: Any) -> None:
        if not isinstance(content, dict):
            return
        action, args, action_id = content.get("action"), content.get("args", {}), content.get("id")
        if not isinstance(action_id, str) or not 0 < len(action_id) <= 64:
            return
        if isinstance(action, str) and isinstance(args, dict):
            self.act(action, args, action_id)
        elif isinstance(content.get("look"), bool):
            self.look(content["look"], action_id)
