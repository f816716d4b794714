"""Which levels, where their lines run, and how deep the swales on them are."""
