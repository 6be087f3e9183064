"""bloomline: plan a yard of layered bulb pots from real climate, geometry and dates."""

__version__ = "0.1.0"
