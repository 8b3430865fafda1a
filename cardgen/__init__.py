"""Bench cards for one two-blade teetering gyroplane rotor, made from one specification."""

__version__ = "0.1.0"
