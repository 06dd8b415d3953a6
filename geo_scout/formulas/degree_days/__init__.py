"""Heat sums: degree-days of a day, the day a sum is reached, years, normals and quantiles over years.

Arrays have days along the first axis and sites along the second. Temperatures are in degC and degree-days in
degC days throughout; `HeatModel` converts at the edge.
"""
