"""A small vapour-compression cycle for development: makes the table of signatures and the truth that tests it."""
