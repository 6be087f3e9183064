"""What stands on top of a pot, when, and how many plants are that?"""
