"""Where things are: positions, shapes and reference systems, brought to one working system."""
