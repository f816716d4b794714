"""Weather days, made years, and reference evapotranspiration."""
