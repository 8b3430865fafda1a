"""Bench cards for one two-blade teetering gyroplane rotor, made from one specification."""
