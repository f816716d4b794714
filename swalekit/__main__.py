"""``python -m swalekit`` is the command ``swalekit``."""

from swalekit.cli.main import run

if __name__ == "__main__":
    run()
