"""splashkit: the physics and photography of two colliding drops of water.

The physics modules import numpy only. Figures, panels and symbolic workings
are imported by name when a lesson needs them, so ``import splashkit`` stays light.
"""

__version__ = "0.1.0"
