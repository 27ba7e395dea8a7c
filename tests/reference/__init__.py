"""The pages of reference in ``samples/reference``, made from the program, its data and its tests.

``python -m tests.reference`` writes them again; a test says when they are behind.
"""
