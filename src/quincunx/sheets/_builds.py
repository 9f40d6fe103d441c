"""The sheets of building, in their order in the set."""

from __future__ import annotations

from types import ModuleType

from quincunx.sheets import bill, construction, quotation, shopping, upkeep, weighed

BUILDS: tuple[ModuleType, ...] = (shopping, bill, weighed, construction, quotation, upkeep)
"""What to buy, the bill, how each structure is built, the form for a
contractor; things weighed up; what keeps them."""
