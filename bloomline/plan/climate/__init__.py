"""Where is the garden, what is its weather, and what does a pot's place make of it?"""
