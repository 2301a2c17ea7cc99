"""Units: exact definitions, what was typed turned into whole base units and back.

Definitions are exact by international agreement (1 lb = 453.59237 g, 1 in = 2.54 cm; figures from memory, see
SOURCES.md "Units"); all arithmetic is in fractions, never floats.
"""
