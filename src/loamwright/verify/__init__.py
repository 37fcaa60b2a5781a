"""Published cases run through the engine: what a laboratory needs to validate the software it uses."""
