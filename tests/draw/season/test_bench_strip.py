"""The strip over a season is as high as layers are expected in flower, benches counted too."""

from __future__ import annotations

from dataclasses import replace
from math import ceil

import numpy as np
from sample_report import report

from bloomline.draw.base.petals import petals_of
