"""One widget per file; each renders what it is given and holds nothing of the visit."""
