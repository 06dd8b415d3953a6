"""The plainest reading there is, in a process of its own: pyogrio's own table with Arrow, and one call of to_crs.

Run as a program: ``python read_plainly.py FILE CRS``. For each line on standard input it reads the file once and prints
the seconds. Arrow must not be imported where geo_scout is measured: pandas would keep text in another way.
"""

import importlib.util
import sys
import time

import pyogrio

if __name__ == "__main__":
    has_arrow = importlib.util.find_spec("pyarrow") is not None
    for _ in sys.stdin:
        start = time.perf_counter()
        pyogrio.read_dataframe(sys.argv[1], use_arrow=has_arrow).to_crs(sys.argv[2])
        print(time.perf_counter() - start, flush=True)
