"""The trade's rules, each decision a step with its inches, reason and source. Never imports ``trimkit.mechanics``."""
