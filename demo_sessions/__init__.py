"""Demo sessions: data only; every place, unit and reading is invented."""
