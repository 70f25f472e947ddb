"""Charts as data, and the one writer that draws them.

A plot says what is drawn, in its own units; the writer finds places, ticks, room for words and the
size of the sheet. `scale` makes axes, `gradings` those of a grading curve, `contouring` finds lines
of equal value, `placing` keeps words clear of lines and of one another, `svg` draws.
"""
