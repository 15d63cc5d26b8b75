"""Forms that work something out from readings, orders and the shelf, and write it down when asked."""
