"""The flow network, made once per terrain; accumulation, hollows, catchments."""
