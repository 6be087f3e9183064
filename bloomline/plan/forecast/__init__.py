"""When does a planting flower, how sure is that, and what does the answer look like?"""
