"""The parts of the script that invents the sample district, one idea per file."""
