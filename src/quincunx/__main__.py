"""``python -m quincunx`` is the command line."""

from quincunx.cli import main

if __name__ == "__main__":
    main()
