"""How does a season look on a page: axis, bars, strip, rows, legend?"""
