"""What the garden must do, judged by years; and what Quincunx notices unasked."""

from quincunx.review.judging import Judged, Review, judge, judge_one, review
from quincunx.review.noticing import CHECKS, notice

__all__ = ["CHECKS", "Judged", "Review", "judge", "judge_one", "notice", "review"]
