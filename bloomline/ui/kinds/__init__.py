"""What is not in the list: kinds from packets, mixtures, and the yard's own kinds together."""
