"""What a release fixed: the versions, and which stored slip is whose."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import asdict, dataclass, field
from pathlib import Path
from typing import TYPE_CHECKING, Any

from instructor.errors import ClassError
from instructor.files import read_json, write_json
from instructor.layout import SCHEMA, ClassFolder
from instructor.names import nearest

if TYPE_CHECKING:
    from course.boats.plan import SlipPlan


@dataclass(frozen=True)
class Released:
    """The index of one release; `slips` is learner id -> exercise id -> digest of the stored slip."""

    module: str
    cohort: str
    versions: Mapping[str, Any]
    notebook: str
    slips: Mapping[str, Mapping[str, str]] = field(default_factory=dict)


def modules_folder() -> Path:
    """Return the folder of the course's modules."""
    import course

    return Path(course.__file__).parent / "modules"


def check_module(module: str) -> None:
    """Refuse a module that the course does not have, naming the nearest.

    One that has its folder in the course is known by that: the exercises take longer to import than most commands
    take to do their work.

    Raises
    ------
    ClassError
    """
    if module in {path.name for path in modules_folder().glob("[0-9][0-9]_*")}:
        return
    from graders.exercises import MODULES

    if module not in MODULES:
        raise ClassError(f"The course has no module '{module}'; {nearest(module, MODULES)}")


def read_released(folder: ClassFolder, module: str) -> Released:
    """Return the index of a release.

    Raises
    ------
    ClassError : the module is unknown or not released, or the index is damaged
    """
    check_module(module)
    path = folder.released(module)
    if not path.exists():
        raise ClassError(
            f"The module '{module}' is not released; do that with 'wetslip class release {module}'."
        )
    content = read_json(path, "the index of the release")
    try:
        if content.pop("schema") != SCHEMA:
            raise ValueError
        return Released(**content)
    except (TypeError, ValueError, KeyError, AttributeError):
        raise ClassError(f"the index of the release '{path}' is damaged.") from None


def write_released(folder: ClassFolder, released: Released) -> None:
    """Store the index of a release."""
    write_json(folder.released(released.module), {"schema": SCHEMA, **asdict(released)})


def check_versions(released: Released, doing: str) -> None:
    """Refuse to go on with another engine or other data than those the slips were drawn with.

    A newer Wetslip whose physics are the same, to the letter of code and data, goes on with old slips.

    Parameters
    ----------
    released : the release
    doing : what was about to be done, such as "mark it"

    Raises
    ------
    ClassError : one sentence that says which version to use and how
    """
    from graders.versions import frozen_versions

    now = frozen_versions()
    if released.versions.get("physics") == now.get("physics"):
        return
    differing = [
        f"{name} {released.versions.get(name, 'none')} (here {now.get(name, 'none')})"
        for name in sorted({*now, *released.versions})
        if released.versions.get(name) != now.get(name)
    ]
    raise ClassError(
        f"The module '{released.module}' was released with {', '.join(differing)}; to {doing}, install "
        f"the Wetslip that released it ('pip install wetslip=={released.versions.get('wetslip', '')}') "
        "in an environment of its own and run the same command there."
    )


def store_plan(folder: ClassFolder, plan: SlipPlan) -> None:
    """Store an expanded slip under its digest; one that is there is never written again."""
    from instructor.files import write_text

    path = folder.slip(plan.digest)
    if not path.exists():
        write_text(path, plan.canonical_json())


def read_plans(folder: ClassFolder, released: Released, learner: str) -> dict[str, SlipPlan]:
    """Return a learner's stored slips by exercise id.

    Raises
    ------
    ClassError : the learner has none, or a stored one is missing or is not what was stored
    """
    from course.boats.plan import SlipPlan

    digests = released.slips.get(learner)
    if digests is None:
        raise ClassError(
            f"'{learner}' has no slips of '{released.module}', being added to the roster after its release; "
            f"run 'wetslip class release {released.module}' again, which draws the missing ones."
        )
    plans = {}
    for exercise, digest in digests.items():
        path = folder.slip(digest)
        try:
            # by the file's own hash: a later Wetslip may know more about a slip than was written then
            plans[exercise] = SlipPlan.stored(path.read_bytes(), digest)
        except FileNotFoundError:
            raise ClassError(f"The stored slip '{path}' of '{learner}' is missing.") from None
        except ValueError:
            raise ClassError(
                f"The stored slip '{path}' of '{learner}' is not what was stored at release."
            ) from None
    return plans
