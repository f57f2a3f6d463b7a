"""Instruments as they really behave, and the logbook that remembers every act."""
