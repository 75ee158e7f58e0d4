"""``python -m mountwright``."""

from mountwright.cli import main

if __name__ == "__main__":
    main()
