"""Both wings joined for one club and one set: order, club, sheet."""
