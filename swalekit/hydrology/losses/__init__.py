"""What soaks in and what runs off: methods of losses, soils and their zones, tests on site."""
