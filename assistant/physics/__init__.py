"""Pure physics: numbers in, numbers out. Units are in the names, the source id in every docstring.

Source ids are those of ``knowledge/data/sources.yaml``. Values outside a formula's validity raise
``OutsideValidity``; nothing is clamped or guessed.
"""
