"""Climate, phenology, geometry and season sums: arrays in, arrays out; no files, no Qt."""
