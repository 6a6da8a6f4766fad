"""Engine functions as JavaScript: a translator of the plain Python that the engine is written in.

:func:`~dryermodel.cycle.run.translation.program.translate` takes functions and writes them, and all that
they call, as JavaScript functions of the same names. What it does not know for certain it refuses, with
file and line, so that a translation is either the same function or none.

What is the same by construction: rounding of the four operations and of the square root, order of
evaluation, comparison with NaN, the signs of zero, ``//`` and ``%`` of negative numbers, ``max`` and
``min``. What may differ in the last digit: exponentials, logarithms and powers, which every language's
library rounds in its own way. What Python refuses while running (a division by zero, a root of a negative
number) gives infinity or NaN, as in the compiled engine. Integers must stay below 2**53, and below 2**31
in bitwise operations and in arrays; an index computed while running must not be negative.
"""
