"""The lesson page: how a thermostat and a timer dry clothes, with sliders, the circuit and questions."""
