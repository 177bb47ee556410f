"""Loopwright: multi-loop circuits worked, checked and published for the lecture hall."""
