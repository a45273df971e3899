"""Reply data and the sentences made of it."""
