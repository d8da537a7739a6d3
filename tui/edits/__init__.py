"""The commands that change the design, and what they share."""
