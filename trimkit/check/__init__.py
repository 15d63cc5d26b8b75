"""Before the saw: the set line, the double check, likely causes, what a step is worth."""
