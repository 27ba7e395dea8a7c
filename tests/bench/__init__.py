"""How fast, and how it grows: measured against what somebody would write instead. Run ``python -m tests.bench``."""
