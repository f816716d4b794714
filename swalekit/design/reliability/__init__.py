"""How sure a layout is: inputs and ground drawn again and again, and what comes of each draw."""
