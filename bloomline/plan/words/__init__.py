"""How are days, amounts, shares and lists put, so that all say them alike?"""
