"""Oil films: pictures, numbers, tables."""
