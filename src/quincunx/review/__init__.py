"""What the garden must do, judged by years; and what Quincunx notices unasked."""

from quincunx.review.judging import Judged, Review, judge, judge_one, review
from quincunx.review.noticing import CHECKS, notice
from quincunx.review.verdicts import Verdicts

__all__ = ["CHECKS", "Judged", "Review", "Verdicts", "judge", "judge_one", "notice", "review"]
