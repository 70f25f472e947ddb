"""What uncertain numbers of a plant do to its results: spread, chances, and what causes it."""

from hoggin.studies.uncertainty.document import Uncertainty
from hoggin.studies.uncertainty.uncertainty import UncertaintyQuestion, studied

__all__ = ["Uncertainty", "UncertaintyQuestion", "studied"]
