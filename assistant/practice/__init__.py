"""Practice: the program plays a faulty unit, and tells at the end how well it was worked."""
