"""The rack: what is on the shelf, on offer and measured, read from files; what to take from it, in words and tables."""
