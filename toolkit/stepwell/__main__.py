"""``python -m stepwell``: the command line, for those who have no console script on their path."""

from stepwell.cli.main import run

if __name__ == "__main__":
    run()
