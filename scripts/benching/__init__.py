"""The figures of the README, part by part; ``scripts/bench.py`` runs them."""
