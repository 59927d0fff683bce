"""The log file: the only place that speaks SQL, and tables in and out."""
