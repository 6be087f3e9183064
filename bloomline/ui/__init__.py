"""The window."""

from bloomline.plugins import seek_no_plugins
from bloomline.threads import multiply_alone

multiply_alone()  # before NumPy, which the next import loads
seek_no_plugins()  # before pydantic, which it loads as well

# Before Qt: what is imported after it, PySide looks through for its own name, file by file,
# which costs a tenth of a second at each start.
from bloomline.plan.season import yard as _  # noqa: E402, F401
