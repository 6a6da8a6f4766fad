"""Many cycles abreast: one machine in each lane of the processor's vector unit."""
