"""Large work in chunks: local processes or a cluster, with progress and a clean stop."""
