"""How much water a stand wants and gets: root zone, daily budget, months, and how many trees that carries."""
