"""The whole way from a typed note to the reply, against values from outside the project."""
