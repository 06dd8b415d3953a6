"""The rules of each kind of vector layer: infestations, releases, visits, land and the others."""
