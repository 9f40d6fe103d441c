"""The order of works: what is done when, for the most use of the money and the weekends there are.

A :class:`~quincunx.years.problem.Problem` (projects, money and hours by month) goes to
:func:`~quincunx.years.order.order`; :func:`~quincunx.years.why.why`, :func:`~quincunx.years.conflict.conflict` and
:func:`~quincunx.years.waysout.ways_out` explain, :mod:`~quincunx.years.whatif` compares, :mod:`~quincunx.years.risk`
tells how likely the plan is to hold, :func:`~quincunx.years.replan.replan` starts again from today and
:func:`~quincunx.years.now.now` says what to do this month.

Of a whole garden: :mod:`~quincunx.years.from_garden` makes the problem and the edit, :mod:`~quincunx.years.months` and
:mod:`~quincunx.years.ordering` read the plan that is written, :mod:`~quincunx.years.explained` gives its reasons,
:mod:`~quincunx.years.compared` lays a what-if beside it and :mod:`~quincunx.years.real` plans again by the journal.

Nothing is imported here: the board's threads each load the part they need, and two that met in a package which loads its
parts would find one half loaded.
"""
