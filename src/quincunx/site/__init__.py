"""The place: where it lies, how its ground lies, its soil, climate and sun.

What is stored (:class:`Place`, :class:`Climate`, :class:`Soil`, :class:`Horizon`, :class:`SpotHeight`,
:class:`BreakLine`) is here; the computing modules :mod:`quincunx.site.ground`, :mod:`quincunx.site.sun` and
:mod:`quincunx.site.towns` are imported by those that need them.
"""
