"""The labs: each a question about one club of the demo set, answered while a slider moves; one module a lab."""
