"""How do planting cards, labels and their pages look?"""
