"""How a reading was taken, judged from the logbook: each wrong turn by name, with a sentence that teaches."""

from __future__ import annotations

from course.boats.afloat import Afloat, Setting
from course.boats.description import COMMON_POINT
from course.instruments import reference_cell
from course.instruments.measure import cell_row
from course.instruments.meter import DIAL, last_digit, volts
from course.instruments.points import member_of
from course.instruments.replay import Reading
from course.instruments.state import State
from course.instruments.words import reading_names
from graders.mistake import Mistake
from graders.truth import BED_CLEARANCE_M, CELL_SETTLED_MV, SHALLOWEST_M, zone_depths

STEADY_WITHIN_MV = 4.0
SAME_METAL_MV = 3.0


SENTENCES: dict[str, str] = {
    "no_circuit": "The meter had no whole circuit then: one lead was unplugged, its clip was on nothing, or the dial was not on "
    "volts. What it showed was only what an open lead picks up.",
    "cell_dry": "The reference cell was out of the water. Without water between cell and metal there is no circuit to measure.",
    "leads_swapped": "The leads were swapped: the cell belongs in COM and the test lead in V. Swapped, the meter shows the right "
    "size with the wrong sign.",
    "no_metal": "The clip was on the {point}, which touches neither the water nor the bonding. Clip to the common bonding point.",
    "wrong_point": "The clip was on the {point}, which is not joined to the bonding, so you measured that one fitting and not the "
    "boat. Clip to the common bonding point.",
    "cell_on_bottom": "The cell lay on the bottom or close above it ({depth} m of {bed} m). Mud upsets the cell, and it is far from "
    "the metal: hang it about a metre down.",
    "cell_too_shallow": "The cell hung only {depth} m deep. Hang it about as deep as the metal you protect, about a metre down.",
    "cell_too_deep": "The cell hung {depth} m deep. Hang it about as deep as the metal you protect, about a metre down.",
    "cell_off_boat": "The cell hung beyond the end of the boat. Hang it beside the metal it is to see.",
    "coarse_range": "On the {dial} range the last digit is worth {digit} {unit}: too coarse. Use the 2 V range.",
    "overload": "The display showed OL: the voltage is more than the {dial} range can show. Use the 2 V range.",
    "cell_not_settled": "You read it {minutes} minutes after the cell went in. A cell that was dry drifts at first: wait until two "
    "readings ten minutes apart agree.",
    "anode_lead_closed": "The inside lead of the hull anode was still closed, so the anode was still protecting: no baseline yet.",
    "anode_in_water": "The hanging anode was still in the water, so it was still protecting: no baseline yet.",
    "anode_lead_open": "The inside lead of the hull anode was open, so that anode did nothing.",
    "anode_lifted": "The hanging anode was out of the water, so it did nothing.",
    "metal_not_settled": "The boat's metals were still moving: {off} mV from where they come to rest. After anodes are taken off or "
    "put on, wait until two readings ten minutes apart agree.",
}


def _mistake(name: str, **words: object) -> Mistake:
    return Mistake(name, SENTENCES[name].format(**words))


def _circuit(state: State) -> Mistake | None:
    if state.cell is None and state.dial != "off":
        return _mistake("cell_dry")
    dial = DIAL.get(state.dial) if state.meter == "digital" else None
    whole = {state.cell_jack, state.test_jack} == {"COM", "V"} and state.point is not None
    if dial is None or dial.what != "volts" or not whole or state.cell is None:
        return _mistake("no_circuit")
    return _mistake("leads_swapped") if state.cell_jack == "V" else None


def _point(afloat: Afloat, state: State) -> Mistake | None:
    at = member_of(afloat.plan.boat, str(state.point))
    name = reading_names(afloat).get(str(state.point), state.point)
    here, common = afloat.voltage(state.moment, at), afloat.voltage(state.moment, COMMON_POINT)
    if here is None or common is None:
        return _mistake("no_metal", point=name)
    return _mistake("wrong_point", point=name) if abs(here - common) * 1000 > SAME_METAL_MV else None


def _place(afloat: Afloat, state: State) -> Mistake | None:
    assert state.cell is not None
    bed, depth = afloat.plan.berth.depth_m, state.cell.depth_m
    words = {"depth": f"{depth:.2f}", "bed": f"{bed:.1f}"}
    if depth > bed - BED_CLEARANCE_M:
        return _mistake("cell_on_bottom", **words)
    if depth > zone_depths(afloat)[1]:
        return _mistake("cell_too_deep", **words)
    if depth < SHALLOWEST_M:
        return _mistake("cell_too_shallow", **words)
    within = 0.0 <= state.cell.x_m <= afloat.plan.boat.hull.length_m
    return None if within else _mistake("cell_off_boat")


def _range(state: State, reading: Reading) -> Mistake | None:
    if reading.display.text == "OL":
        return _mistake("overload", dial=state.dial)
    digit, unit = last_digit(reading.display.text), reading.display.unit
    if (volts(digit, unit) or 0.0) > 0.001:
        return _mistake("coarse_range", dial=state.dial, digit=digit, unit=unit)
    return None


def _setting(state: State, wanted: Setting) -> Mistake | None:
    if wanted.open_links - state.setting.open_links:
        return _mistake("anode_lead_closed")
    if wanted.lifted - state.setting.lifted:
        return _mistake("anode_in_water")
    if state.setting.open_links - wanted.open_links:
        return _mistake("anode_lead_open")
    return _mistake("anode_lifted") if state.setting.lifted - wanted.lifted else None


def cell_settled(afloat: Afloat, state: State) -> bool:
    """Return whether the cell has been wet long enough."""
    assert state.cell is not None
    off = reference_cell.offset(cell_row(afloat), state.minute - state.cell.wet_since, height_over_bed_m=1e3)
    return abs(off) * 1000 <= CELL_SETTLED_MV


def metal_off_mV(afloat: Afloat, state: State) -> float:
    """Return how far the common bonding point is from where it comes to rest [mV]."""
    now, rest = (afloat.voltage(m, COMMON_POINT) for m in (state.moment, afloat.steady(state.setting)))
    assert now is not None
    assert rest is not None
    return 1000 * (now - rest)


def _time(afloat: Afloat, state: State) -> Mistake | None:
    assert state.cell is not None
    off = metal_off_mV(afloat, state)
    if abs(off) > STEADY_WITHIN_MV:
        return _mistake("metal_not_settled", off=f"{abs(off):.0f}")
    if not cell_settled(afloat, state):
        return _mistake("cell_not_settled", minutes=state.minute - state.cell.wet_since)
    return None


def mistake_in(afloat: Afloat, reading: Reading, wanted: Setting) -> Mistake | None:
    """Return the first wrong turn in how a reading was taken, or None for a sound one.

    ``wanted`` is the setting of links and anodes the task asks for.
    """
    state = reading.state
    return (
        _circuit(state)
        or _point(afloat, state)
        or _place(afloat, state)
        or _range(state, reading)
        or _setting(state, wanted)
        or _time(afloat, state)
    )
