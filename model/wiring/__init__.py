"""Circuits: conductors and what they bear, currents and voltages along a tree of runs, protection, short circuits, sizing."""
