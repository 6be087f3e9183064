"""What was seen, how does it compare with what was forecast, and what follows from it?"""
