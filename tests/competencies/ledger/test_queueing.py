"""The queue in front of SQLite: one at a time, and a place that is left is free again."""

import threading
import time

import pytest

from competencies.ledger.queueing import turn_at


def test_only_one_has_its_turn(tmp_path):
    inside, most = [], []

    def take_turns():
        for _ in range(20):
            with turn_at(tmp_path / "queue"):
                inside.append(1)
                most.append(len(inside))
                time.sleep(0.0005)
                inside.pop()

    threads = [threading.Thread(target=take_turns) for _ in range(4)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()

    assert len(most) == 80
    assert max(most) == 1


@pytest.mark.filterwarnings("error")
def test_a_turn_that_failed_is_over(tmp_path):
    for _ in range(2):
        with pytest.raises(ZeroDivisionError), turn_at(tmp_path / "queue"):
            raise ZeroDivisionError

    with turn_at(tmp_path / "queue"):
        pass
