"""The yard: pots cut open, plants above them, and all that can be done with them by hand."""
