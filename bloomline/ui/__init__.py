"""The window."""

from bloomline.threads import multiply_alone

multiply_alone()  # before NumPy, which the next line loads

# Before Qt: what is imported after it, PySide looks through for its own name, file by file,
# which costs a tenth of a second at each start.
from bloomline.plan.season import yard as _  # noqa: E402, F401
