"""From a reading to facts and figures."""
