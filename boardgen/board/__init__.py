"""From a netlist to a two-layer board, checked.

How it goes, each step a module of its own:

    rules             widths and clearances, and the routing grid
    unroutable        what no layout suits, said before any work is done
    strips            the netlist sorted into strips, and each strip into cells
    arrange           which strip width, and which stages share a cell
    strip_cells       each cell as a task: parts, pins at its edges, given copper; `port_cell` for the port's
    cell_layout       one cell placed (`placement`, `skyline`) and routed (`router`, `routing_grid`)
    strip_rows        cells stacked to strips, strips side by side, the bus at one height
    assemble          copper of the whole board, with `mounting` holes and `pour`
    silkscreen        outlines, designators and names, in `silkscreen_space`, in the letters of `stroke_font`
    check             everything that is judged from geometry alone: `connectivity`, `check_surge`, `check_assembly`
    parasitics        what the copper adds to the circuit: `copper_raster`, `field_solver`, `track_ways`

Words: a *strip* is the lane of one port, from the port at the upper edge of the board down to the terminals at the
lower edge; all strips of a board are equally wide and stand side by side. Each antenna has one, the output has
one, and common terminals may need some of their own. A *cell* is one stage of a strip, or several that
share it: it is as wide as the strip and as high as it must be. The *bus* runs level through all strips, on wide
tracks, and joins them. A *guard trace* of 0V runs along both edges of each strip, on both sides of the board, joined by
*stitching vias*. The *pair* is centre and braid of a strip's signal, on its way from the port to the bus; *lines* are
control, feed and supply, which come up from the terminals.

Lengths are whole nanometres, places in a cell are columns and rows of the routing grid. A board has its origin at the
lower left with y upwards; a cell has it at its upper left with rows downwards.
"""
