"""Quincunx plans a garden that takes years to build."""

__version__ = "0.1.0"
__all__ = ["__version__"]
