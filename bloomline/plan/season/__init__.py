"""What flowers when in the whole yard, where is it bare, and what if things were otherwise?"""
