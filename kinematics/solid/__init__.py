"""Parts as closed surfaces of triangles, of the bodies that are weighed."""
