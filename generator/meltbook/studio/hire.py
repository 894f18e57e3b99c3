"""Letting the bench by the hour, and teaching at it: what an owner types for either."""

from __future__ import annotations

from meltbook.studio.base import Amount, Part, Share, Text


class Hire(Part):
    """An open hour and what is asked for it. ``hire_day_typed`` stands in for a hot day's cost by the log.

    ``hire_sold`` is the part of the open hours that somebody pays for; ``hire_price`` is as quoted, with tax where tags
    include it.
    """

    hire_day_typed: Amount | None = None
    hire_open_hours: Amount | None = None
    hire_sold: Share | None = None
    hire_attendant: Amount | None = None
    hire_loads: Amount | None = None
    hire_margin: Share | None = None
    hire_price: Amount | None = None


class Course(Part):
    """A class taught in the shop: a session of it, and one seat.

    ``hours`` are at the hot bench, ``prep`` those of the open shop besides; ``glass`` is the weight drawn, ``load`` the
    part of an annealer load of one student; ``empty`` the part of the seats that nobody pays for in the end.
    """

    name: Text | None = None
    seats: Amount | None = None
    hours: Amount | None = None
    prep: Amount | None = None
    pay: Amount | None = None
    glass: Amount | None = None
    materials: Amount | None = None
    load: Share | None = None
    packing: Amount | None = None
    empty: Share | None = None
    fee: Share | None = None
    margin: Share | None = None
    price: Amount | None = None
