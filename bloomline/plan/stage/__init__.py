"""Which pot stands where in which week, and which are to be carried when?"""
