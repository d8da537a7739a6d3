"""The model of a camper van's electricity: pure functions from what was entered to a plan with its working."""

__version__ = "0.1.0"
