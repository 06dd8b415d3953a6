"""Checks that hold one layer against another, each a module."""
