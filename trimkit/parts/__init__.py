"""What lies on the bench: units, sources, components and the checked data files they come from."""
