"""One throw of a crankshaft as an elastic solid: its mesh, its stiffness and a surface of both."""
