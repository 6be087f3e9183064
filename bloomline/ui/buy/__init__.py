"""The page with what to buy: bulbs, compost, pots, the budget, what the pots weigh."""
