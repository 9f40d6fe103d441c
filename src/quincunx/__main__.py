"""``python -m quincunx``."""

from quincunx.cli import run

if __name__ == "__main__":
    run()
