"""Many sites: planned by processes or a cluster, gathered in one table and one GeoPackage."""
