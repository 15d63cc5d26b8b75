"""A lab's house: controls, picture in two layers, style, pins."""
