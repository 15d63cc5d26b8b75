"""The trade's rules: schedule, bore depth, head mass, stepping, butt cut. Never imports ``trimkit.mechanics``."""
