"""Use cases: the questions a gardener asks, answered once for window, command line and exports."""
