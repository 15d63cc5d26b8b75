"""The questions, a module a lesson."""
