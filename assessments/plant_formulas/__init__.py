"""The plant's own calculations: a formula that a coordinator typed becomes a calculation like any other.

`reading` turns the text into a tree (`syntax`) by a grammar of our own; nothing of it is ever run as Python.
`balance` walks the tree with the units, `building` makes the nodes of `assessments.notation` from it, `compiling`
joins what was told (`described`) into a `Calculation`, and `sweep` tries that over the whole range of its givens.
"""
