"""nbgrader's gradebook, written and read in one go.

Its own interface takes seconds to import and milliseconds a row, so where the database has the scheme we know the
same rows are written directly; a test holds the two beside each other. With any other scheme its own interface does
the work: see `instructor.marking.gradebook`.
"""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator, Mapping, Sequence
from contextlib import closing, contextmanager
from datetime import datetime
from pathlib import Path
from uuid import uuid4

from instructor.errors import ClassError
from instructor.people.roster import Learner

SCHEME = "e43177bfe90b"  # nbgrader's own name for it, in use since 0.7 (2019)
SECONDS_TO_WAIT = 10.0  # for another program that is writing
STORED_TIME = "%Y-%m-%d %H:%M:%S.%f"

_SCORES = """
select cell.name, grade.auto_score, grade.manual_score, grade.extra_credit, part.max_score
from submitted_assignment as work
join assignment on assignment.id = work.assignment_id
join submitted_notebook as book on book.assignment_id = work.id
join notebook on notebook.id = book.notebook_id
join grade on grade.notebook_id = book.id
join base_cell as cell on cell.id = grade.cell_id
join (select id, max_score from grade_cells union all select id, max_score from task_cells) as part on part.id = cell.id
where assignment.name = ? and notebook.name = ? and work.student_id = ?
"""
_ENTER = """
update grade set auto_score = ?1, needs_manual_grade = (manual_score is not null or ?1 is null)
where notebook_id = ?2 and cell_id = (select id from base_cell where notebook_id = ?3 and name = ?4)
"""


class Ledger:
    """An open gradebook of the scheme we know."""

    def __init__(self, connection: sqlite3.Connection) -> None:
        self.connection = connection

    def put_learners(self, learners: Sequence[Learner]) -> None:
        """Enter the roster; nbgrader keeps a name in two parts, the last word for the family name."""
        rows = []
        for learner in learners:
            first, _, last = learner.name.rpartition(" ")
            rows.append((learner.id, first, last, learner.email or None))
        self.connection.executemany(
            "insert into student (id, first_name, last_name, email) values (?, ?, ?, ?) on conflict (id) do update "
            "set first_name = excluded.first_name, last_name = excluded.last_name, email = excluded.email",
            rows,
        )

    def put_scores(
        self, module: str, learner: str, timestamp: datetime | None, scores: Mapping[str, float | None]
    ) -> None:
        """Enter one learner's marks of one module; see `instructor.marking.gradebook.put_scores`."""
        assignment, notebook = self._notebook(module)
        found = self.connection.execute(
            "select id from submitted_assignment where assignment_id = ? and student_id = ?",
            (assignment, learner),
        ).fetchone()
        work = found[0] if found else self._begin(assignment, learner)
        if timestamp is not None:
            self.connection.execute(
                "update submitted_assignment set timestamp = ? where id = ?",
                (timestamp.strftime(STORED_TIME), work),
            )
        (book,) = self.connection.execute(
            "select id from submitted_notebook where assignment_id = ? and notebook_id = ?", (work, notebook)
        ).fetchone()
        self.connection.executemany(
            _ENTER, [(points, book, notebook, name) for name, points in scores.items()]
        )

    def rows(self, module: str, learner: str) -> Iterator[tuple[str, float, float, float | None]]:
        """Yield name, points that count, points there are and the instructor's own, for each marked cell."""
        for name, auto, manual, extra, out_of in self.connection.execute(_SCORES, (module, module, learner)):
            counts = auto if manual is None else manual
            yield name, 0.0 if counts is None else counts + (extra or 0.0), out_of, manual

    def _notebook(self, module: str) -> tuple[str, str]:
        found = self.connection.execute(
            "select assignment.id, notebook.id from assignment join notebook on notebook.assignment_id = assignment.id "
            "where assignment.name = ? and notebook.name = ?",
            (module, module),
        ).fetchone()
        if found is None:
            raise ClassError(
                f"The gradebook knows nothing of '{module}'; run 'wetslip class release {module}' again."
            )
        return found[0], found[1]

    def _begin(self, assignment: str, learner: str) -> str:
        """Make the rows of a first submission: one for each notebook, and in it one for each marked cell."""
        work = uuid4().hex
        run = self.connection.execute
        run(
            "insert into submitted_assignment (id, assignment_id, student_id) values (?, ?, ?)",
            (work, assignment, learner),
        )
        for (notebook,) in run("select id from notebook where assignment_id = ?", (assignment,)).fetchall():
            book = uuid4().hex
            run(
                "insert into submitted_notebook (id, assignment_id, notebook_id, flagged) values (?, ?, ?, 0)",
                (book, work, notebook),
            )
            for table, kinds in (
                ("grade", ("grade_cells", "task_cells")),
                ("comment", ("solution_cells", "task_cells")),
            ):
                for kind in kinds:
                    self._begin_cells(table, kind, book, notebook)
        return work

    def _begin_cells(self, table: str, kind: str, book: str, notebook: str) -> None:
        """Make a grade or a comment for each cell of a kind."""
        cells = self.connection.execute(
            f"select base_cell.id from base_cell join {kind} on {kind}.id = base_cell.id where notebook_id = ?",
            (notebook,),
        ).fetchall()
        more, value = (", needs_manual_grade", ", 1") if table == "grade" else ("", "")
        self.connection.executemany(
            f"insert into {table} (id, notebook_id, cell_id{more}) values (?, ?, ?{value})",
            [(uuid4().hex, book, cell) for (cell,) in cells],
        )


@contextmanager
def ledger(path: Path) -> Iterator[Ledger | None]:
    """Open a gradebook; what is written counts when the block ends without an error.

    Yields None for a file that is missing or of a scheme we do not know. Raises sqlite3.DatabaseError.
    """
    if not path.exists():
        yield None
        return
    with closing(sqlite3.connect(path, timeout=SECONDS_TO_WAIT)) as connection:
        if not _is_known(connection):
            yield None
            return
        with connection:
            yield Ledger(connection)


def _is_known(connection: sqlite3.Connection) -> bool:
    tables = {name for (name,) in connection.execute("select name from sqlite_master where type = 'table'")}
    if "alembic_version" not in tables:
        return False
    return connection.execute("select version_num from alembic_version").fetchall() == [(SCHEME,)]
