"""What a planting takes: nursery, materials, calendar, bill, first water."""
