"""Many unlike crafts at unlike berths, coupled through the water and through dock earth.

marina         the marina and `solve_marina`
craft, wiring  one craft's circuit; all of them and what joins them ashore (shore)
field          what every patch does to every other, near (green) and far (grid)
solve          the iteration; kernel and linear: its compiled loops
"""

from course.engine.marina.craft import Craft
from course.engine.marina.marina import Marina, solve_marina

__all__ = ["Craft", "Marina", "solve_marina"]
