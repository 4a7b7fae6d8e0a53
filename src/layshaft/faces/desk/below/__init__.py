"""Pages and forms below the rooms: each answers addresses of its own, none stands in the running head."""
