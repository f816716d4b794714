"""Maps and charts. A drawing function takes a value and axes and gives the axes back."""
