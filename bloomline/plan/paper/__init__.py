"""What do cards and labels say, and which flower is this?"""
