"""``python -m evenround.cli``."""

from . import start

start()
