"""The one array type of the core."""

from typing import Any

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.floating[Any]]
ComplexArray = NDArray[np.complexfloating[Any, Any]]
