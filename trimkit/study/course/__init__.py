"""The course on paper: a sheet for each student and the key for the class, made from the instructor's plan."""
