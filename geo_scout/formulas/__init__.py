"""Published equations: arrays in, arrays out, one reference each. No files, no tables, no plots."""
