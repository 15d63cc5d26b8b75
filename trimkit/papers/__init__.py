"""What leaves the bench: sheet, tables, templates, what was measured."""
