"""Rows said in plain sentences: the logbook as a person reads it. The slip without a picture stands in ``words_view``."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from course.boats.afloat import Afloat
from course.boats.by_identity import by_identity
from course.instruments.clamp import arrow_words, clamp_names
from course.instruments.mendable import mendable
from course.instruments.over_the_side import hanging
from course.instruments.points import clip_points
from course.instruments.rows import Row
from course.instruments.words_view import cell_words, view_words

__all__ = ["act_text", "cell_words", "clock_text", "labels", "reading_names", "view_words"]

Args = dict[str, Any]
Names = dict[str, str]
MENDED = "mend:"  # before the id of a part: its name where it is mended


def clock_text(minute: int) -> str:
    """Return the slip's clock in words."""
    return f"{minute // 60} h {minute % 60:02d} min"


@by_identity
def labels(afloat: Afloat) -> dict[str, str]:
    """Return the plain name of everything on the boat that has an id. Not to be changed: it is kept."""
    boat = afloat.plan.boat
    named = dict(mendable(afloat.plan))
    named.update({f"{MENDED}{part}": words for part, words in named.items()})
    named.update(clamp_names(afloat))
    named.update({part.id: part.label for part in (*boat.parts, *hanging(afloat, afloat.start))})
    named.update({circuit.id: circuit.label for circuit in boat.circuits})
    named.update({c.id: boat.label(c.id) for c in boat.conductors if c.label})
    named.update({point.id: point.label for point in clip_points(boat)})
    return named


@by_identity
def reading_names(afloat: Afloat) -> dict[str, str]:
    """Return the plain name of what a reading is taken at, a wire or a clip point: what `labels` says, without all there is to mend."""
    points = {point.id: point.label for point in clip_points(afloat.plan.boat)}
    return {**clamp_names(afloat), **points}


def _said(name: object, named: Names) -> str:
    return named.get(str(name), str(name))


def _remade(part: object, named: Names) -> str:
    return named.get(f"{MENDED}{part}", _said(part, named))


def _plug(args: Args, named: Names) -> str:
    if args.get("jack"):
        return f"Plugged the {args.get('lead')} into {args['jack']}."
    return f"Pulled the {args.get('lead')} out of the meter."


def _clip(args: Args, named: Names) -> str:
    lead = args.get("lead", "test lead")
    if not args.get("point"):
        return "Took the test clip off." if lead == "test lead" else f"Took the clip of the {lead} off."
    bare = ", scraped bright" if args.get("scraped") is True else ""
    return f"Clipped the {lead} to the {_said(args['point'], named)}{bare}."


def _clamp(args: Args, named: Names) -> str:
    around = args.get("around")
    inside = (
        " and ".join(f"the {_said(a, named)}" for a in around) if isinstance(around, list) else str(around)
    )
    names = [str(a) for a in around] if isinstance(around, list) else [str(around)]
    return f"Closed the clamp around {inside}, its arrow {arrow_words(names, named, str(args.get('arrow', 'forward')))}."


def _on(args: Args, key: str) -> str:
    return "on" if args.get(key) else "off"


_SENTENCES: dict[str, Callable[[Args, Names], str]] = {
    "turn_dial": lambda args, named: f"Turned the dial to {args.get('position')}.",
    "take_meter": lambda args, named: f"Took the {args.get('meter')} multimeter; its dial is off.",
    "plug": _plug,
    "clip": _clip,
    "null_leads": lambda args, named: "Nulled the meter: what it showed in ohms now counts as nothing.",
    "change_fuse": lambda args, named: "Put a new fuse into the meter.",
    "take_cell": lambda args, named: f"Took another cell out of the box: {str(args.get('cell')).replace('_', ' ')}.",
    "hang_cell": lambda args, named: f"Hung the cell {args.get('x_m')} m forward of the transom, {args.get('depth_m')} m deep.",
    "lift_cell": lambda args, named: "Lifted the cell out of the water.",
    "dip_probe": lambda args, named: "Stood the bilge probe in the bilge." if args.get("in_bilge") else "Took the bilge probe out.",
    "close_clamp": _clamp,
    "open_clamp": lambda args, named: "Took the clamp off.",
    "zero_clamp": lambda args, named: "Zeroed the clamp.",
    "open_link": lambda args, named: f"Opened the {_said(args.get('link'), named)}.",
    "close_link": lambda args, named: f"Closed the {_said(args.get('link'), named)}.",
    "lift_anode": lambda args, named: f"Lifted the {_said(args.get('anode'), named)} out of the water.",
    "lower_anode": lambda args, named: f"Lowered the {_said(args.get('anode'), named)} into the water.",
    "breaker": lambda args, named: f"Switched the breaker of {_said(args.get('circuit'), named)} {_on(args, 'closed')}.",
    "battery_switch": lambda args, named: f"Turned the battery switch {_on(args, 'on')}.",
    "shore_lead": lambda args, named: "Plugged the shore lead in, aboard and then at the pedestal." if args.get("plugged")
    else "Unplugged the shore lead at both ends, the pedestal first.",
    "mend": lambda args, named: f"Remade this part: {_remade(args.get('part'), named)}.",
    "wait": lambda args, named: f"Waited {args.get('minutes')} minute{'' if args.get('minutes') == 1 else 's'}.",
}  # fmt: skip


def _recorded(row: Row, args: Args) -> str:
    instrument = args.get("instrument", "meter")
    unit = str(row.get("unit", "")).replace("degC", "°C")
    shown = f"{row.get('display') or 'a blank display'} {unit}".strip()
    return f"Wrote down {shown}." if instrument == "meter" else f"Wrote down {shown} from the {instrument}."


def _followed(row: Row, named: Names) -> str:
    """Return what the act brought about by itself: breakers that tripped, a fuse that blew."""
    tripped = row.get("tripped")
    said = (
        [f" The breaker of {_said(c, named)} tripped at once." for c in tripped]
        if isinstance(tripped, list)
        else []
    )
    if row.get("fuse_blew") is True:
        said.append(" The fuse of the meter's A jack blew.")
    return "".join(said)


def act_text(row: Row, named: Names) -> str:
    """Return one row of the logbook as a sentence; a row of unknown kind is said to be so."""
    args: Args = row["args"] if isinstance(row.get("args"), dict) else {}
    if row.get("kind") == "note":
        about = f" on row {row['about']}" if row.get("about") else ""
        return f"Note{about}: {row.get('text', '')}"
    action = row.get("action")
    if action == "record":
        return _recorded(row, args)
    sentence = _SENTENCES.get(action) if isinstance(action, str) else None
    if sentence is None:
        return "A row of a kind this course does not know."
    return sentence(args, named) + _followed(row, named)
