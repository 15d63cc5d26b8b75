"""The physics: profile, frequency, balance. Never imports ``trimkit.trim``."""
