"""A slip: one boat in one berth, with instruments and a logbook. The object a learner works on, with or without a picture.

>>> slip.turn_dial("2 V"); slip.plug("cell lead", "COM"); slip.plug("test lead", "V")
>>> slip.hang_cell(x_m=5.6, depth_m=1.0); slip.clip("common_bonding_point"); slip.wait(30)
>>> slip.record()
"""

from __future__ import annotations

import contextlib
from pathlib import Path
from typing import Any

from course.boats.afloat import Afloat
from course.boats.plan import SlipPlan
from course.instruments.arguments import SlipError
from course.instruments.export import write_csv
from course.instruments.fold import after
from course.instruments.hands import Hands
from course.instruments.logbook import (
    FILE_NAME,
    action_row,
    earlier_version,
    note_row,
    rows_of_slip,
    slip_name,
)
from course.instruments.look import look_layer
from course.instruments.readings import show
from course.instruments.rows import Row, Rows, append, read_rows
from course.instruments.state import State, first_state
from course.instruments.view import view
from course.instruments.words import act_text, labels, view_words

LONGEST_NOTE = 2000


class Slip(Hands):
    """One learner's boat at the bench. Its state is what the logbook in ``folder`` says has happened, and nothing else.

    Two notebooks, or two processes, may work on one slip: every act reads what the others wrote before it is done.
    """

    def __init__(self, plan: SlipPlan, folder: Path, title: str = "") -> None:
        self.plan = plan
        self.title = title
        self.path = folder / FILE_NAME
        self._afloat = Afloat(plan)
        self._rows: list[Row] = []
        self._state = first_state(self._afloat)
        self._said = ""
        self.refresh()

    def refresh(self) -> None:
        """Take in the rows that were written since the last look, by whomever.

        Raises SlipError, one sentence, when the logbook cannot be read.
        """
        try:
            self._take_in(read_rows(self.path))
        except OSError as error:
            raise SlipError(f"The logbook {self.path} cannot be read ({error.strerror}).") from error
        self._said = self._said or earlier_version(self._rows)

    def _take_in(self, found: Rows) -> None:
        own = rows_of_slip(found.rows, slip_name(self._afloat))
        if own[: len(self._rows)] != self._rows:  # another file was put in its place: begin anew
            self._rows, self._state = [], first_state(self._afloat)
        for row in own[len(self._rows) :]:
            if row.get("kind") != "note":
                args = row.get("args")
                # a row that cannot have happened changes nothing; marking names it
                with contextlib.suppress(SlipError):
                    self._state = after(
                        self._afloat,
                        self._state,
                        str(row.get("action")),
                        args if isinstance(args, dict) else {},
                    )
            self._rows.append(row)

    def act(self, action: str, args: dict[str, Any] | None = None, action_id: str | None = None) -> Row:
        """Do one act and write it down; the same ``action_id`` again does nothing more and returns the row of the first.

        Raises SlipError, one sentence, when the act cannot be done or the logbook cannot be written; nothing has changed then.
        """
        done: list[Row] = []
        following = self._state

        def make_row(found: Rows) -> Row | None:
            nonlocal following
            self._take_in(found)
            following = self._state
            earlier = [row for row in self._rows if action_id is not None and row.get("id") == action_id]
            if earlier:
                done.extend(earlier)
                return None
            if action == "note":
                return self._note(args or {}, action_id)
            following = after(self._afloat, self._state, action, args or {})
            ordinal = len(self._rows) + 1
            return action_row(self._afloat, self._state, following, ordinal, action, args or {}, action_id)

        try:
            row = append(self.path, make_row)
        except OSError as error:
            raise SlipError(
                f"The logbook {self.path} cannot be written ({error.strerror}); this was not done."
            ) from error
        if row is None:
            return done[0]
        self._rows.append(row)
        self._state = following
        self._said = act_text(row, labels(self._afloat))
        return row

    def _note(self, args: dict[str, Any], action_id: str | None) -> Row:
        text, about = args.get("text"), args.get("about")
        if not isinstance(text, str) or not text.strip() or len(text) > LONGEST_NOTE:
            raise SlipError(f"A note is a text of 1 to {LONGEST_NOTE} letters.")
        if about is not None and about not in range(1, len(self._rows) + 1):
            raise SlipError(
                f"There is no row {about!r} to write a note on; the logbook has {len(self._rows)}."
            )
        return note_row(
            slip_name(self._afloat), len(self._rows) + 1, self._state.minute, text, about, action_id
        )

    @property
    def state(self) -> State:
        """Return the state as last taken in."""
        return self._state

    @property
    def rows(self) -> tuple[Row, ...]:
        """Return this slip's rows of the logbook as last taken in."""
        return tuple(self._rows)

    @property
    def display(self) -> str:
        """Return what the meter shows now, as it would be written down."""
        return self.shows("meter")

    def shows(self, instrument: str) -> str:
        """Return what an instrument shows now: meter, clamp, thermometer or conductivity meter."""
        return str(show(self._afloat, self._state, len(self._rows) + 1, instrument))

    def export_csv(self, path: Path) -> Path:
        """Write this slip's logbook as a table other programs read; cells that could act as formulas are made plain text.

        Returns the path. Raises SlipError, one sentence, when the file cannot be written.
        """
        return write_csv(path, self._rows, labels(self._afloat))

    def look(self) -> dict[str, Any]:
        """Return lines of equal potential in the water beside the boat, ways of the current, and both in words: a teaching layer.

        It is no act, is not in the logbook, and no part of ``view()``: whoever draws asks for it.
        """
        return look_layer(self._afloat, self._state)

    def text(self) -> str:
        """Return everything the scene shows, in words."""
        return "\n".join(view_words(self.view()))

    def view(self) -> dict[str, Any]:
        """Return everything the scene shows, as plain data."""
        return view(self._afloat, self._state, self._rows, self.title, self._said)
