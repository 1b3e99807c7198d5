"""Equations of home drying: pure functions of floats; no files, no clock.

Masses are g, lengths mm, temperatures deg C, times h, moistures and water activities 0..1.
Every estimate is a ``Range`` (low, likely, high) that names its assumptions and its driver.
"""
