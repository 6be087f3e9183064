"""What is to be bought, for how much, and what could be done for less?"""
