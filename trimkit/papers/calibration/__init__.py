"""A shop's readings of its frequency machine: read from files, told in words, kept in the shop's own file."""
