"""The score of a hunt: how it was gone about, what each answer would have to show, and which reading speaks against it."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from course.boats.afloat import Afloat
from course.boats.wording import in_a_sentence
from course.instruments.mendable import mendable
from course.instruments.replay import Reading, Replay
from course.instruments.state import State
from graders.hunt.evidence import alike, seen, trip_chances
from graders.hunt.probes import Array, Probe, words
from graders.hunt.reading import Evidence, circuits_on, evidence
from graders.hunt.table import Table

IMPLIED = 0.97  # an outcome this sure beforehand was already known
STILL_POSSIBLE = 0.1
CONTRADICTED = 0.02  # as likely as that or less
STEADY_GAP_MINUTES = 10


@dataclass(frozen=True)
class HuntScore:
    """How a hunt went. ``redundant`` are the ordinals of readings that told nothing new; ``rival`` what was still possible
    when the first part was mended; ``bonds`` the bad bonds that were remade by themselves, in words; ``harmful`` what was done
    to the boat that should not have been. ``again`` is the display of the reading that was to prove the repair.
    """

    minutes: int
    par_minutes: int
    before: bool
    all_off: bool
    after: bool
    redundant: tuple[int, ...]
    mended: tuple[str, ...]
    rival: str
    bonds: tuple[str, ...]
    again: str
    harmful: tuple[str, ...]
    evidence: tuple[Evidence, ...]

    @property
    def efficiency(self) -> float:
        """Return par's minutes over one's own, 1 at the most; 0 when nothing was done."""
        return min(1.0, self.par_minutes / self.minutes) if self.minutes > 0 else 0.0


@dataclass(frozen=True)
class _Act:
    """One act: what it was, on which part, and the states around it."""

    name: str
    part: str
    before: State
    after: State


def _acts(replay: Replay, first: State) -> list[_Act]:
    found, before = [], first
    for row, after in zip(replay.acts, replay.states, strict=True):
        args = row.get("args")
        part = str(args.get("part", "")) if isinstance(args, dict) else ""
        found.append(_Act(str(row.get("action")), part, before, after))
        before = after
    return found


def _as_found(first: State, state: State) -> bool:
    """Return whether everything is switched as the boat was found, what trips by itself apart."""
    now, found = state.setting, first.setting
    own = now.open_breakers ^ found.open_breakers
    return (
        now.open_links == found.open_links
        and now.lifted == found.lifted
        and now.battery_on == found.battery_on
        and now.shore_plugged == found.shore_plugged
        and own <= first.tripped
    )


def _taken(reading: Reading) -> tuple[object, ...]:
    """Return where a reading was taken: what the clamp is round, or what the leads of the meter end at."""
    state = reading.state
    if reading.instrument == "clamp":
        return ("clamp", *sorted(state.clamp.around))
    ends = {
        (name, getattr(state.leads.get(name), "point", None))
        for name in (state.lead_in("V"), state.lead_in("COM"))
        if name
    }
    return ("meter", *sorted(ends, key=str))


def score(
    afloat: Afloat,
    table: Table,
    replay: Replay,
    first: State,
    par_minutes: int,
    like: Callable[[str], bool] = lambda _part: False,
) -> HuntScore:
    """Return the score of a hunt from its logbook taken again.

    ``like`` says of a part whether no measurement tells a fault there from what is wrong: to remake it is no harm.
    """
    acts = _acts(replay, first)
    true = tuple(reading for reading in replay.readings if reading.replays)
    known = tuple(evidence(afloat, table, true))
    changed = [act for act in acts if act.after.setting != act.before.setting or act.name == "mend"]
    mends = [act for act in acts if act.name == "mend"]
    last = mends[-1].after.minute if mends else 0
    known_before = {_taken(r) for r in true if r.state.minute < last}
    after = [r for r in true if mends and r.state.minute >= last and _taken(r) in known_before]
    proofs = [r for r in after if _as_found(first, r.state)]
    bonds = {bond for fault in afloat.plan.faults for bond in fault.bad_bonds(afloat.plan.boat)}
    belief = _belief(table, known, first, afloat, mends[0].before.minute if mends else None)
    return HuntScore(
        minutes=replay.states[-1].minute if replay.states else 0,
        par_minutes=par_minutes,
        before=any(not changed or r.state.minute <= changed[0].before.minute for r in true),
        all_off=any(not circuits_on(afloat.plan, reading.state) for reading in true),
        after=bool(proofs),
        redundant=redundant(table, known, first, afloat),
        mended=tuple(dict.fromkeys(act.part for act in mends)),
        rival=rival(table, belief, mends[0].part) if mends else "",
        bonds=tuple(
            afloat.plan.boat.label(one) for one in dict.fromkeys(act.part for act in mends) if one in bonds
        ),
        again=f"{proofs[-1].display.text} {proofs[-1].display.unit}" if proofs else "",
        harmful=_harm(afloat, first, acts, like),
        evidence=known,
    )


def _belief(
    table: Table, known: Sequence[Evidence], first: State, afloat: Afloat, until: int | None
) -> Array:
    """Return what the readings leave possible, all of them or those up to a minute."""
    belief = _at_first(table, first, afloat)
    for one in known:
        if until is None or one.reading.state.minute <= until:
            belief = seen(belief, one.chance(table))
    return belief


def _at_first(table: Table, first: State, afloat: Afloat) -> Array:
    if first.tripped:
        return seen(table.prior, trip_chances(table, first.tripped))
    return seen(table.prior, 1 - trip_chances(table, circuits_on(afloat.plan, first)))


def redundant(table: Table, known: Sequence[Evidence], first: State, afloat: Afloat) -> tuple[int, ...]:
    """Return the ordinals of readings whose outcome was already implied by what was known.

    The first reading is the baseline, and one repeated ten minutes later shows that it is steady: neither is redundant.
    """
    belief, found = _at_first(table, first, afloat), []
    for k, one in enumerate(known):
        likely = float((belief @ one.chances(table)).max())
        again = k > 0 and known[k - 1].terms == one.terms and known[k - 1].on == one.on
        waited = k > 0 and one.reading.state.minute - known[k - 1].reading.state.minute >= STEADY_GAP_MINUTES
        if k > 0 and (again or likely >= IMPLIED) and not (again and waited):
            found.append(one.reading.ordinal)
        belief = seen(belief, one.chance(table))
    return tuple(found)


def rival(table: Table, belief: Array, part: str) -> str:
    """Return the title of the likeliest fault that mending a part would not put right, if such faults are still possible.

    What no measurement tells from a fault of that part is no rival.
    """
    mends = np.array([guess.fault is not None and guess.fault.part == part for guess in table.guesses])
    same = alike(table)[np.unique(table.groups[mends])].any(axis=0)
    others = np.where(mends | same[table.groups], 0.0, belief)
    if others.sum() < STILL_POSSIBLE:
        return ""
    return table.guesses[int(others.argmax())].title


def _harm(afloat: Afloat, first: State, acts: Sequence[_Act], like: Callable[[str], bool]) -> tuple[str, ...]:
    """Return what was left or done that harms: sound parts remade, links left open, circuits left off, a fuse blown."""
    if not acts:
        return ()
    last, boat, found = acts[-1].after, afloat.plan.boat, []
    faults, named = afloat.plan.faults, mendable(afloat.plan)
    bad = {part for fault in faults for part in (fault.part, *fault.bad_bonds(boat))}
    mended = dict.fromkeys(act.part for act in acts if act.name == "mend" and act.part not in bad)
    sound_parts = (part for part in mended if not like(part))
    found += [f"remade though nothing was wrong with it: {named.get(part, part)}" for part in sound_parts]
    for link in sorted(last.setting.open_links - first.setting.open_links):
        found.append(f"left open: {boat.label(link)}")
    for anode in sorted(last.setting.lifted - first.setting.lifted):
        found.append(f"left out of the water: {boat.label(anode)}")
    dead = last.setting.open_breakers - first.setting.open_breakers
    left = [in_a_sentence(c.label) for c in boat.circuits if c.id in dead]
    found += [f"switched off and left so: {', '.join(left)}"] if left else []
    if any(act.after.fuse_blown and not act.before.fuse_blown for act in acts):
        found.append("the meter's fuse blown")
    return tuple(found)


@dataclass(frozen=True)
class Against:
    """The reading that speaks most against some guesses: what it was, and what it would have been."""

    evidence: Evidence
    chance: float
    expected: float
    title: str


def against(table: Table, known: Sequence[Evidence], named: NDArray[np.bool_]) -> Against | None:
    """Return the reading that contradicts the guesses named, or None when none does."""
    worst: Against | None = None
    for one in known:
        chance = one.chance(table)[named]
        best = int(chance.argmax())
        if chance[best] <= CONTRADICTED and (worst is None or chance[best] < worst.chance):
            expected = one.value - one.difference + float(one.predicted(table)[named][best])
            title = table.guesses[int(np.flatnonzero(named)[best])].title
            worst = Against(one, float(chance[best]), expected, title)
    return worst


def against_words(afloat: Afloat, table: Table, found: Against) -> str:
    """Return one sentence that says which reading speaks against a fault, and what it would have shown."""
    one = found.evidence
    probes = _measured([table.probes[k] for k, _ in one.terms], afloat)
    unit = table.probes[one.terms[0][0]].unit
    switched, title = _switched(afloat, one), found.title.replace("; ", ", and ")
    return (
        f"Row {one.reading.ordinal} of your logbook speaks against it: {switched} you read {one.reading.display} ({probes}). "
        f"If {title}, it should be about {_alike(found.expected, unit, one.reading.display.unit)}."
    )


def _measured(probes: Sequence[Probe], afloat: Afloat) -> str:
    """Return what a reading is of: a metal and the hull potential together are that metal against the cell."""
    boat = afloat.plan.boat
    metal = [probe.at for probe in probes if probe.kind == "metal"]
    if len(metal) == 1 and len(probes) == 2 and any(probe.kind == "hull" for probe in probes):
        return f"potential of the {boat.label(metal[0])}"
    return " and ".join(words(probe, boat) for probe in probes)


def _alike(expected: float, unit: str, shown_in: str) -> str:
    """Return an expected reading in volts where the display it is held against shows volts."""
    if unit == "mV" and shown_in == "V":
        return f"{expected / 1000:.3f} V"
    return f"{expected:.0f} {unit}"


def _switched(afloat: Afloat, one: Evidence) -> str:
    named = {c.id: in_a_sentence(c.label) for c in afloat.plan.boat.circuits}
    if not one.on:
        return "with every circuit off"
    if len(one.on) == len(named):
        return "with every circuit on"
    if len(one.on) <= 2:
        return "with only " + " and ".join(named[c] for c in sorted(one.on)) + " on"
    off = sorted(set(named) - one.on)
    return (
        "with " + " and ".join(named[c] for c in off[:3]) + (" and others" if len(off) > 3 else "") + " off"
    )
