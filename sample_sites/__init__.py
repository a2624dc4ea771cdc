"""Three invented sites to learn from, each a site file and an elevation raster, and the script that makes them."""
