"""The work of a walk handed to an engine for many machines, in the place of our own pool of processes."""

import distributed
import pytest

from boardgen.explore.walk import boards, walk
from tests.explore.test_explore import OPTIONS, asked, walked

pytestmark = pytest.mark.peer


def test_two_workers_of_another_engine_give_the_same_answer():
    """dask.distributed: `Client.get_executor`, an executor as in concurrent.futures."""
    wanted = boards(asked(), OPTIONS[:1])
    with (
        distributed.LocalCluster(n_workers=2, threads_per_worker=1, dashboard_address=None) as cluster,
        distributed.Client(cluster) as client,
    ):
        made = list(walk(asked(), wanted, client.get_executor(), {}, lambda _: None))
    assert made == [board for board in walked() if board.overrides in wanted]
