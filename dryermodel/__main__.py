"""Run the command line with ``python -m dryermodel``."""

from dryermodel.cli import main

if __name__ == "__main__":
    main()
