"""Both wings joined: an order, one club, a set, the flex scale."""
