"""WHAT DOES IT SAY? The shop's label read, ours written.

``order/`` (least and most of every name of an ordered list, exactly) · reading a shop's label, ours, net content.
"""
