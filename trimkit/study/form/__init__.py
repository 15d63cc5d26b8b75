"""The order form."""
