"""Water on its way: travel time, inflow, stores that fill and spill, sills, breach."""
