"""What leaves the bench: sheet, tables, templates, record, and what was measured."""
