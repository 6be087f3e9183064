"""What would a drag or an edit do, what follows what in a pot, and what comes next year?"""
