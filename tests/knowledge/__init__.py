"""Tests of the knowledge: reader, references, linter, and cases that mirror the data file for file."""
