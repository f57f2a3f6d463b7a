"""Acts on the instruments: what each changes in the state. Acts on the boat stand in ``acts_boat``."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from course.boats.afloat import Afloat
from course.instruments import meter, needle
from course.instruments.arguments import Args, SlipError, number, one_of, one_or_none, truth
from course.instruments.clamp import clamp_names, raw_mA
from course.instruments.ohms import raw_ohm
from course.instruments.points import clip_points
from course.instruments.state import CLIPPED, LEADS, CellPlace, Clamp, Lead, State, cell_limits

METERS = ("digital", "analogue")
ARROWS = ("forward", "backward")


def dials(kind: str) -> tuple[str, ...]:
    """Return the positions of a meter's dial."""
    return tuple(meter.DIAL if kind == "digital" else needle.DIAL)


def jacks(kind: str) -> tuple[str, ...]:
    """Return a meter's jacks."""
    return meter.JACKS if kind == "digital" else needle.JACKS


def cells_of(afloat: Afloat) -> tuple[str, ...]:
    """Return the reference cells in the box, the one in hand at the start among them."""
    kit = afloat.plan.kit
    return tuple(dict.fromkeys((kit.cell, *kit.cells)))


def turn_dial(afloat: Afloat, state: State, args: Args) -> State:
    """Turn the meter's dial; what was nulled is forgotten."""
    return replace(state, dial=one_of(args, "position", "dial position", dials(state.meter)), null_ohm=0.0)


def take_meter(afloat: Afloat, state: State, args: Args) -> State:
    """Take the other meter: its dial is off, and the plugs go into the jacks of the same names."""
    kind = one_of(args, "meter", "meter", METERS)
    leads = {
        name: lead if lead.jack in jacks(kind) else replace(lead, jack=None)
        for name, lead in state.leads.items()
    }
    return replace(state, meter=kind, dial="off", null_ohm=0.0, leads=leads)


def _with_lead(state: State, name: str, lead: Lead) -> Mapping[str, Lead]:
    """One plug a jack: whichever other lead was there is pulled out."""
    return {
        other: lead if other == name else replace(old, jack=None if lead.jack == old.jack else old.jack)
        for other, old in state.leads.items()
    }


def plug(afloat: Afloat, state: State, args: Args) -> State:
    """Plug a lead into a jack, or pull it out."""
    name = one_of(args, "lead", "lead", LEADS)
    jack = one_or_none(args, "jack", "jack", jacks(state.meter))
    return replace(state, leads=_with_lead(state, name, replace(state.leads[name], jack=jack)))


def clip(afloat: Afloat, state: State, args: Args) -> State:
    """Clip a lead to a point, or take it off; scraped, the point is bright from now on."""
    boat = afloat.plan.boat
    name = one_of({"lead": args.get("lead", "test lead")}, "lead", "lead with a clip", CLIPPED)
    ids = [point.id for point in clip_points(boat)]
    wet = {part.id: part.label for part in (*boat.metals, *boat.anodes)}
    asked = args.get("point")
    if isinstance(asked, str) and asked in wet and asked not in ids:
        raise SlipError(
            f"The {wet[asked]} is under water, and nobody puts hands in marina water, where a faulty shore lead can kill: "
            "clip to a point inside."
        )
    point = one_or_none(args, "point", "clip point", ids)
    scrape = truth(args, "scraped", "A point is scraped or not", False)
    scraped = state.scraped | {point} if scrape and point is not None else state.scraped
    leads = {**state.leads, name: replace(state.leads[name], point=point)}
    return replace(state, leads=leads, scraped=scraped)


def null_leads(afloat: Afloat, state: State, args: Args) -> State:
    """Take what the meter shows in ohms as nothing; an open circuit nulls nothing."""
    found = raw_ohm(afloat, state)
    return state if found is None else replace(state, null_ohm=found)


def change_fuse(afloat: Afloat, state: State, args: Args) -> State:
    """Put a new fuse into the meter."""
    return replace(state, fuse_blown=False)


def take_cell(afloat: Afloat, state: State, args: Args) -> State:
    """Take a reference cell out of the box; the one in hand is lifted out."""
    return replace(state, kind=one_of(args, "cell", "cell in the box", cells_of(afloat)), cell=None)


def hang_cell(afloat: Afloat, state: State, args: Args) -> State:
    """Hang the cell over the port side."""
    limits = cell_limits(afloat)
    x = number(args, "x_m", "place of the cell along the boat", *limits["x_m"], "m forward of the transom")
    depth = number(args, "depth_m", "depth of the cell", *limits["depth_m"], "m")
    wet_since = state.cell.wet_since if state.cell else state.minute
    return replace(state, cell=CellPlace(round(x, 2), round(depth, 2), wet_since))


def lift_cell(afloat: Afloat, state: State, args: Args) -> State:
    """Lift the cell out of the water."""
    return replace(state, cell=None)


def dip_probe(afloat: Afloat, state: State, args: Args) -> State:
    """Stand the bilge probe in the bilge, or take it out."""
    dipped = truth(args, "in_bilge", "The probe is in the bilge or out of it")
    if dipped and afloat.plan.boat.bilge is None:
        raise SlipError("This boat has no bilge that a probe could stand in.")
    since = state.minute if state.dipped is None else state.dipped
    return replace(state, dipped=since if dipped else None)


def close_clamp(afloat: Afloat, state: State, args: Args) -> State:
    """Close the clamp's jaw around conductors, its arrow lying forward or backward."""
    around = args.get("around")
    known = clamp_names(afloat)
    if not isinstance(around, list) or not around:
        raise SlipError("The clamp closes around a list of one or more conductors.")
    named = tuple(
        dict.fromkeys(
            one_of({"conductor": a}, "conductor", "conductor a clamp reaches", known) for a in around
        )
    )
    arrow = one_of({"arrow": args.get("arrow", "forward")}, "arrow", "way for the arrow", ARROWS)
    return replace(state, clamp=replace(state.clamp, around=named, arrow=arrow))


def open_clamp(afloat: Afloat, state: State, args: Args) -> State:
    """Take the clamp off."""
    return replace(state, clamp=replace(state.clamp, around=()))


def zero_clamp(afloat: Afloat, state: State, args: Args) -> State:
    """Take what the clamp shows now as nothing, whatever is in its jaw."""
    clamp: Clamp = state.clamp
    return replace(state, clamp=replace(clamp, null_mA=raw_mA(afloat, state), zeroed=state.minute))
