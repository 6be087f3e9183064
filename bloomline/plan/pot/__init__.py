"""What fits in one pot, how deep, how heavy is it, and what is risky about it?"""
