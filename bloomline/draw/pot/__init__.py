"""How do a pot, its bulbs and the plants above it look?"""
