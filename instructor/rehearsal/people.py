"""Who is in the rehearsal: thirty invented people, how able each is, and what is odd about them."""

from __future__ import annotations

from dataclasses import dataclass, field

from instructor.people.roster import Learner

COHORT = "rehearsal-1"
PAPER, BENCH, HUNT = "02_galvanic_series", "03_reference_cell", "07_stray_current_hunt"
MODULES = (PAPER, BENCH, HUNT)


@dataclass(frozen=True)
class Person:
    """One invented learner.

    `skill` runs from 0 to 1; `slow` is how many times the usual time they take. `late` are days after the due time,
    `twice` the modules handed in a second time, better; `absent` those never handed in, `broken` those whose file
    is damaged. `like` names whose odd way of working at the bench is also theirs, `copies` whose files they hand in, by module.
    """

    learner: Learner
    skill: float
    slow: float = 1.0
    late: dict[str, float] = field(default_factory=dict)
    twice: frozenset[str] = frozenset()
    absent: frozenset[str] = frozenset()
    broken: frozenset[str] = frozenset()
    like: str = ""
    copies: dict[str, str] = field(default_factory=dict)

    @property
    def id(self) -> str:
        """The learner's id."""
        return self.learner.id


# id, name, group, skill, extra time [per cent]
_ROLL: tuple[tuple[str, str, str, float, float], ...] = (
    ("rpell", "Rowan Pell", "A", 0.97, 0),
    ("imarren", "Isko Marren", "A", 0.91, 0),
    ("torle", "Tamsin Orle", "A", 0.84, 0),
    ("dvane", "Dorrit Vane", "A", 0.80, 0),
    ("hsorrel", "Hanne Sorrel", "A", 0.78, 0),
    ("bquill", "Bram Quill", "A", 0.72, 0),
    ("lketh", "Lowri Keth", "A", 0.70, 0),
    ("osundby", "Ove Sundby", "A", 0.66, 0),
    ("ptarrant-wye", "Pim Tarrant-Wye", "A", 0.64, 25),
    ("ascoble", "Agnes Scoble", "A", 0.60, 0),
    ("gfenn", "Garth Fenn", "A", 0.55, 0),
    ("mlisk", "Merrin Lisk", "A", 0.50, 0),
    ("cdrummer", "Cato Drummer", "A", 0.44, 0),
    ("whask", "Wenna Hask", "A", 0.36, 0),
    ("ebrool", "Edda Brool", "A", 0.24, 0),
    ("nström", "Nelly Ström", "B", 0.95, 0),
    ("jvask", "Jory Vask", "B", 0.88, 25),
    ("mkestrin", "Maud Kestrin", "B", 0.82, 0),
    ("ofarrell-lund", "Odo Farrell-Lund", "B", 0.79, 0),
    ("silver", "Sela Ilver", "B", 0.75, 0),
    ("tgorran", "Tegen Gorran", "B", 0.71, 0),
    ("vmoxley", "Vidar Moxley", "B", 0.67, 0),
    ("kpascoe-ray", "Kerra Pascoe-Ray", "B", 0.63, 0),
    ("zneal", "Zelah Neal", "B", 0.59, 0),
    ("fharl", "Fenna Harl", "B", 0.53, 50),
    ("ycarne", "Yestin Carne", "B", 0.47, 0),
    ("utrewin", "Ursel Trewin", "B", 0.40, 0),
    ("lrosk", "Lark Rosk", "B", 0.33, 0),
    ("bbolan", "Bo Lan", "B", 0.27, 0),
    ("amichell", "Alys Michell", "B", 0.58, 0),
)
JOINS_LATER = "amichell"  # is not on the first roster
_ODD: dict[str, dict[str, object]] = {
    "gfenn": {"late": {PAPER: 0.3, BENCH: 1.4}},
    "utrewin": {"late": {HUNT: 2.6}},
    "tgorran": {"late": {PAPER: 6.5}},
    "cdrummer": {"absent": frozenset({BENCH})},
    "bbolan": {"absent": frozenset({HUNT})},
    "mlisk": {"twice": frozenset({PAPER})},
    "zneal": {"twice": frozenset({BENCH, HUNT})},
    "whask": {"broken": frozenset({HUNT})},
    "vmoxley": {"like": "vmoxley"},
    "kpascoe-ray": {"like": "vmoxley"},
    "lrosk": {"copies": {BENCH: "tgorran"}},
    "ebrool": {"slow": 3.2},
}
PEOPLE = tuple(
    Person(
        Learner(who, name, f"{who.replace('ö', 'oe')}@cormorant-reach.example", group, extra),
        skill,
        **_ODD.get(who, {}),  # type: ignore[arg-type]
    )
    for who, name, group, skill, extra in _ROLL
)


def person(learner: str) -> Person:
    """Return one of them by id."""
    return next(each for each in PEOPLE if each.id == learner)
