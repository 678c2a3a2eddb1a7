"""``python -m evenhand`` is ``evenhand``."""

from evenhand.cli.main import main

if __name__ == "__main__":
    main()
