"""Physics of air, fuel, cloth and flow as short pure functions of floats in SI.

Nothing here knows a file, a class, a units library or a person: kelvin, pascal, kilogram, watt and
cubic metre per second go in and come out. The functions on the path of the cycle use only scalars,
`math` and named tuples, so that the interpreted and the compiled engine share one source.
"""
