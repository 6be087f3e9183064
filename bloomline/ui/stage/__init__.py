"""Which pot stands where, when: the page Stage, lanes of places, the yard by place."""
