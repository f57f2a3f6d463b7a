"""What a pair of hands can do at a slip: each act by name, the plain-Python twin of the picture."""

from __future__ import annotations

from abc import ABC, abstractmethod
from collections.abc import Sequence
from typing import Any

from course.instruments.rows import Row


class Hands(ABC):
    """Acts as methods. Each returns the row of the logbook it became; what cannot be done raises SlipError, one sentence."""

    @abstractmethod
    def act(self, action: str, args: dict[str, Any] | None = None, action_id: str | None = None) -> Row:
        """Do one act and write it down."""

    def turn_dial(self, position: str) -> Row:
        """Turn the meter's dial."""
        return self.act("turn_dial", {"position": position})

    def plug(self, lead: str, jack: str | None) -> Row:
        """Plug a lead into a jack of the meter, or pull it out."""
        return self.act("plug", {"lead": lead, "jack": jack})

    def clip(self, point: str | None, lead: str = "test lead", scraped: bool = False) -> Row:
        """Clip the test lead or the long lead to a point of the boat, or take it off (None).

        ``scraped``: scrape the point bright first, which takes two minutes; through paint or scale the clip bites badly.
        """
        more: dict[str, Any] = {"scraped": True} if scraped else {}
        return self.act("clip", {"point": point, "lead": lead, **more})

    def take_meter(self, meter: str) -> Row:
        """Take the "digital" or the "analogue" multimeter; its dial is off."""
        return self.act("take_meter", {"meter": meter})

    def null_leads(self) -> Row:
        """On ohms: take what the meter shows now as nothing, as with both clips on one bolt."""
        return self.act("null_leads")

    def change_fuse(self) -> Row:
        """Put a new fuse into the meter's A jack (5 minutes)."""
        return self.act("change_fuse")

    def take_cell(self, cell: str) -> Row:
        """Take another reference cell out of the box, by its id."""
        return self.act("take_cell", {"cell": cell})

    def dip_probe(self, in_bilge: bool = True) -> Row:
        """Stand the bilge probe in the bilge, or take it out."""
        return self.act("dip_probe", {"in_bilge": in_bilge})

    def close_clamp(self, around: str | Sequence[str], arrow: str = "forward") -> Row:
        """Close the clamp around one or more conductors, by id.

        The arrow lies "forward", from the first end a conductor is named by to the second (from the panel to the load, from the
        boat to the dock), or "backward".
        """
        return self.act(
            "close_clamp", {"around": [around] if isinstance(around, str) else list(around), "arrow": arrow}
        )

    def open_clamp(self) -> Row:
        """Take the clamp off."""
        return self.act("open_clamp")

    def zero_clamp(self) -> Row:
        """Zero the clamp on whatever is in its jaw now; rightly, on nothing."""
        return self.act("zero_clamp")

    def hang_cell(self, x_m: float, depth_m: float) -> Row:
        """Hang the reference cell over the port side."""
        return self.act("hang_cell", {"x_m": round(x_m, 2), "depth_m": round(depth_m, 2)})

    def lift_cell(self) -> Row:
        """Lift the reference cell out of the water."""
        return self.act("lift_cell")

    def open_link(self, link: str) -> Row:
        """Open a link in the bonding."""
        return self.act("open_link", {"link": link})

    def close_link(self, link: str) -> Row:
        """Close a link in the bonding."""
        return self.act("close_link", {"link": link})

    def lift_anode(self, anode: str) -> Row:
        """Lift a hanging anode out of the water."""
        return self.act("lift_anode", {"anode": anode})

    def lower_anode(self, anode: str) -> Row:
        """Lower a hanging anode into the water."""
        return self.act("lower_anode", {"anode": anode})

    def breaker(self, circuit: str, closed: bool) -> Row:
        """Switch the breaker of a circuit on or off."""
        return self.act("breaker", {"circuit": circuit, "closed": closed})

    def battery_switch(self, on: bool) -> Row:
        """Turn the battery switch on or off; what is fed ahead of it stays fed."""
        return self.act("battery_switch", {"on": on})

    def shore_lead(self, plugged: bool) -> Row:
        """Plug the shore lead in, or unplug it at both ends."""
        return self.act("shore_lead", {"plugged": plugged})

    def mend(self, part: str) -> Row:
        """Remake a part (30 minutes): what was wrong with it is put right; a sound part costs only the time."""
        return self.act("mend", {"part": part})

    def wait(self, minutes: int) -> Row:
        """Let simulated minutes pass."""
        return self.act("wait", {"minutes": minutes})

    def record(self, instrument: str = "meter") -> Row:
        """Write down what an instrument shows: meter, clamp, thermometer or conductivity meter."""
        return self.act("record", {"instrument": instrument})

    def note(self, text: str, about: int | None = None) -> Row:
        """Write a note, about an earlier row or about nothing in particular."""
        return self.act("note", {"text": text, "about": about})
