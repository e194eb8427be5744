"""The glow of an opening as a picture: indirect light from a fine grid, direct light per pixel."""
