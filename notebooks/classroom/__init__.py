"""Student copies of notebooks, keys, and the marking of answers. Standard library only."""
