"""What an office does with a file, whoever hands it in: the commands of the terminal and the page in the browser.

``kind_of`` decides what a file is; ``work_on_order`` checks, plans and builds an order; ``settings`` are set once.
"""
