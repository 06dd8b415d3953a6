"""Raster layers described: files, bands, units, and whether their values can be true."""
