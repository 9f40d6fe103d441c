"""``python -m quincunx``."""

from quincunx.cli import main

if __name__ == "__main__":
    main()
