"""Gauges and thermometers in the diagnosis: readings -> residuals -> likelihoods, behind gates."""
