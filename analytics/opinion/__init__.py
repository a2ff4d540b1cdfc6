"""The second opinion on one reading: what the screening would say of it, and why, in full.

`judge` answers for a typed reading, `judge_stored` for one in the store, `judge_many` for many at
once; `bundle` returns everything that an offline page needs to answer alike. All take a desk
(`analytics.desk.open_desk`): the store is read and never written. The keys are in `judge`.
"""

from analytics.opinion.bundle import bundle
from analytics.opinion.judge import judge, judge_many, judge_stored
from analytics.opinion.reading import Problem, Reading, problems

__all__ = ["Problem", "Reading", "bundle", "judge", "judge_many", "judge_stored", "problems"]
